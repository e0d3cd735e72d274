package products

import "slices"

// shape is how the bands of a limit are written.
type shape uint8

const (
	pair  shape = iota // [least, most]
	least              // one number: at least
	most               // one number: at most
)

// spec describes one limit of a class: its key in the file, its words and unit
// on a screen, and the numbers that can be meant.
type spec struct {
	key, label, unit string
	shape            shape
	low, high        float64 // the numbers that make sense, in the unit
	fahrenheit       string  // the key that gives the same in °F, "" if none
	field            func(*Class) *Limit
}

// amount is a value with its unit.
func (s spec) amount(x float64) string {
	if s.unit == "" || s.unit == "%" {
		return num(x) + s.unit
	}
	return num(x) + " " + s.unit
}

// limitSpecs is every limit that holds while a product is applied, in the order
// of the screens.
func limitSpecs() []spec {
	return []spec{
		{"air_c", "air", "°C", pair, -30, 60, "air_f", func(c *Class) *Limit { return &c.AirC }},
		{"surface_c", "surface", "°C", pair, -30, 90, "surface_f", func(c *Class) *Limit { return &c.SurfaceC }},
		{"surface_on_paint_c", "surface on paint", "°C", pair, -30, 90, "surface_on_paint_f", func(c *Class) *Limit { return &c.PaintSurfaceC }},
		{"humidity_pct", "humidity", "%", pair, 0, 100, "", func(c *Class) *Limit { return &c.HumidityPct }},
		{"spread_k", "spread", "K", least, 0, 40, "spread_f", func(c *Class) *Limit { return &c.SpreadK }},
		{"wind_m_s", "wind", "m/s", most, 0, 40, "", func(c *Class) *Limit { return &c.WindMS }},
		{"gust_m_s", "gust", "m/s", most, 0, 60, "", func(c *Class) *Limit { return &c.GustMS }},
		{"sunlight_w_m2", "sunlight", "W/m²", most, 0, 1500, "", func(c *Class) *Limit { return &c.SunlightWM2 }},
		{"uv_index", "UV index", "", most, 0, 20, "", func(c *Class) *Limit { return &c.UVIndex }},
	}
}

// clockSpec describes one clock of a class; its limit is a least, in hours.
type clockSpec struct {
	spec
	clock func(*Class) *Clock
}

// maxHours bounds every clock: a year.
const maxHours = 8784

// clockSpecs is every clock before and after application, in the order of the
// screens.
func clockSpecs() []clockSpec {
	hours := func(key, label string, field func(*Class) *Clock) clockSpec {
		return clockSpec{spec{key: key, label: label, unit: "h", shape: least, high: maxHours}, field}
	}
	return []clockSpec{
		hours("dry_off", "dry-off", func(c *Class) *Clock { return &c.DryOff }),
		hours("dew_dry_off", "dew dry-off", func(c *Class) *Clock { return &c.DewDryOff }),
		hours("rain_free", "rain-free", func(c *Class) *Clock { return &c.RainFree }),
		hours("dew_free", "dew-free", func(c *Class) *Clock { return &c.DewFree }),
		hours("launch", "launch", func(c *Class) *Clock { return &c.LaunchH }),
	}
}

// rangeSpec describes one least-to-most value of a class.
type rangeSpec struct {
	key, label, unit string
	high             float64
	field            func(*Class) *Range
}

// rangeSpecs is every such value that stands at the top level of a product.
func rangeSpecs() []rangeSpec {
	return []rangeSpec{
		{"flash_min", "working time", "min", 10080, func(c *Class) *Range { return &c.FlashMin }},
		{"haze_min", "haze or dwell", "min", 10080, func(c *Class) *Range { return &c.HazeMin }},
		{"pot_min", "pot life", "min", 10080, func(c *Class) *Range { return &c.PotMin }},
		{"recoat_h", "next coat", "h", maxHours, func(c *Class) *Range { return &c.RecoatH }},
		{"handle_h", "touched or walked on", "h", maxHours, func(c *Class) *Range { return &c.HandleH }},
		{"no_soap_h", "first wash with soap", "h", maxHours, func(c *Class) *Range { return &c.NoSoapH }},
		{"rate_m2_h", "labour rate", "per hour and person", 1000, func(c *Class) *Range { return &c.RateM2H }},
		{"h_per_ft", "labour by length", "h/ft", 100, func(c *Class) *Range { return &c.HoursPerFt }},
	}
}

// lifeSpecs is how long a product lasts, in months, by the weather it stands in.
func lifeSpecs() []rangeSpec {
	return []rangeSpec{
		{"sun", "lasts in full subtropical sun", "months", 1200, func(c *Class) *Range { return &c.LifeSunMo }},
		{"mild", "lasts in temperate sun", "months", 1200, func(c *Class) *Range { return &c.LifeMildMo }},
		{"roof", "lasts under a roof", "months", 1200, func(c *Class) *Range { return &c.LifeRoofMo }},
	}
}

// homeOf is the key of a product under which another key stands, "" if none.
func homeOf(key string) string {
	for _, s := range limitSpecs() {
		if key == s.key || key == s.fahrenheit {
			return "limits"
		}
	}
	for _, s := range clockSpecs() {
		if key == s.key {
			return "clocks_h"
		}
	}
	for _, s := range lifeSpecs() {
		if key == s.key {
			return "life_months"
		}
	}
	return map[string]string{
		"min_c": "cure", "min_f": "cure", "full_h": "cure",
		"allowed": "finishes", "never": "finishes", "conditional": "finishes",
	}[key]
}

// The words that a file may use.
func doWords() []string {
	return []string{"wash", "decontaminate", "correct", "wipe down", "strip wash", "seal", "protect", "coat", "bed"}
}

func waterWords() []string   { return []string{"none", "rinse", "soap", "all"} }
func surfaceWords() []string { return []string{"dry", "damp", "wet"} }
func unitWords() []string    { return []string{"m2", "m", "count"} }

// String is the word for the need in a file and on a screen.
func (w Water) String() string { return wordOf(waterWords(), int(w)) }

// String is the word for the state of the panel in a file and on a screen.
func (s Surface) String() string { return wordOf(surfaceWords(), int(s)) }

func wordOf(words []string, i int) string {
	if i < len(words) {
		return words[i]
	}
	return "unknown"
}

// finishGroups are words that stand for several finishes in a file.
func finishGroups() map[string][]string {
	return map[string][]string{
		"all": Finishes(),
		"gelcoats": {
			"white-gelcoat", "aged-white-gelcoat", "cream-gelcoat", "grey-gelcoat",
			"red-gelcoat", "blue-gelcoat", "navy-gelcoat", "black-gelcoat",
		},
		"paints":    {"white-paint", "navy-paint", "black-paint"},
		"non-skids": {"white-non-skid", "grey-non-skid"},
		"tubes":     {"grey-tube-fabric", "black-tube-fabric"},
	}
}

// Finishes lists every finish that a class may name, by slug.
func Finishes() []string {
	return []string{
		"white-gelcoat", "aged-white-gelcoat", "cream-gelcoat", "grey-gelcoat", "red-gelcoat", "blue-gelcoat",
		"navy-gelcoat", "black-gelcoat", "white-paint", "navy-paint", "black-paint", "white-non-skid",
		"grey-non-skid", "stainless", "aluminium", "teak", "oiled-teak", "varnished-wood", "clear-vinyl",
		"white-vinyl", "grey-tube-fabric", "black-tube-fabric", "canvas", "antifouled-laminate", "antifouled-lead",
	}
}

// Fit is how a class suits a finish.
type Fit uint8

// The fits.
const (
	FitUnlisted    Fit = iota // only where the person asks for it
	FitSuited                 // goes there without being asked
	FitConditional            // only on a zone known to be buffable
	FitNever                  // must not touch it
)

// Fit says how the class suits a finish, given by its slug.
func (c Class) Fit(finish string) Fit {
	switch {
	case slices.Contains(c.Never, finish):
		return FitNever
	case slices.Contains(c.Conditional, finish):
		return FitConditional
	case slices.Contains(c.Allowed, finish):
		return FitSuited
	}
	return FitUnlisted
}

// Serves reports whether the class can do this kind of step.
func (c Class) Serves(do string) bool { return c.Do == do || slices.Contains(c.AlsoDo, do) }
