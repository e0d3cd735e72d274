package text

import (
	"math"
	"slices"
	"strings"
	"sync"

	"dewgap/cmd/internal/answer"
)

// reason words one limit. Yes/no limits have only without.
type reason struct {
	// without is said where no value is given.
	without string
	// least: the value must not fall below the bound; else not rise above it.
	least bool
	// broken words value and bound of a measured limit, kept those of one that is
	// not passed where they need other words.
	broken, kept func(value, bound string) string
	number       func(o Options) quantity
	hours        bool   // the figures are hours
	atOnce       string // said of no hours at all
	told         bool   // the answer's own sentence knows more
}

// subject words a measured limit as "panel 88 °F, at most 86".
func subject(before, after string, least bool, number func(Options) quantity, without string) reason {
	need := "at most "
	if least {
		need = "needs "
	}
	return reason{
		without: without, least: least, number: number,
		broken: func(v, b string) string { return before + v + after + ", " + need + b },
	}
}

// after words a clock that must run undisturbed once the work is done.
func after(what, without string) reason {
	return reason{
		without: without, least: true, hours: true, atOnce: what + " right after the work",
		broken: func(v, b string) string { return what + " " + v + " after the work, needs " + b },
		kept:   func(v, b string) string { return "no " + what + " for " + v + " after the work, needs " + b },
	}
}

func percent(Options) quantity { return plain("%", 0) }
func bare(Options) quantity    { return plain("", 1) }
func watts(Options) quantity   { return plain("W/m²", 0) }

// reasons words every limit that can decide a state. It is asked for every
// stretch of every zone, so it is made once; nobody writes to it.
var reasons = sync.OnceValue(func() map[string]reason {
	temp, deg, wind := Options.temperature, Options.degrees, Options.wind
	return map[string]reason{
		"":         {without: "nothing stands against it"},
		"hours":    {without: "outside working hours"},
		"away":     {without: "nobody works that day"},
		"daylight": {without: "too dark to work without lamps"},
		"machines": {without: "the marina allows no machines then"},
		"reach":    {without: "it cannot be reached then", told: true},
		"water":    {without: "the marina does not allow that run-off"},
		"people":   {without: "too few people for this product", told: true},
		"order":    {without: "another step must come first", told: true},
		"finish":   {without: "the product does not suit the finish", told: true},
		"thunder":  {without: "thunder, and 30 minutes after it"},
		"salt":     {without: "salt on the panel: wash it off first", told: true},
		"fog":      {without: "fog wets the panel"},
		"rain":     {without: "rain wets the panel"},
		"recoat":   {without: "outside the time in which the next coat may follow", told: true},
		"mask":     {without: "masking tape would stay on longer than it may"},
		"launch":   {without: "she goes into the water too soon after it"},
		"data":     {without: "the forecast lacks a value that is needed", told: true},

		"film":         subject("water on the panel, ", "", false, Options.water, "water on the panel"),
		"air_min":      subject("air ", "", true, temp, "air too cold"),
		"air_max":      subject("air ", "", false, temp, "air too warm"),
		"surface_min":  subject("panel ", "", true, temp, "panel too cold"),
		"surface_max":  subject("panel ", "", false, temp, "panel too hot"),
		"humidity_min": subject("humidity ", "", true, percent, "air too dry"),
		"humidity_max": subject("humidity ", "", false, percent, "air too damp"),
		"spread_min":   subject("panel ", " over dew point", true, deg, "panel too close to the dew point"),
		"wind_max":     subject("wind ", " at the panel", false, wind, "too windy"),
		"gust_max":     subject("gusts ", "", false, wind, "too gusty"),
		"dust_wind":    subject("wind ", " with dust upwind", false, wind, "too windy with dust upwind"),
		"dust_gust":    subject("gusts ", " with dust upwind", false, wind, "too gusty with dust upwind"),
		"access":       subject("gusts ", " at height", false, wind, "too gusty for ladder or harness"),
		"sunlight_max": subject("sunlight on the panel ", "", false, watts, "too much sun on the panel"),
		"uv_max":       subject("UV index on the panel ", "", false, bare, "too much ultraviolet on the panel"),
		"section":      sectionReason(),
		"moisture":     subject("wood moisture ", "", false, percent, "the wood is too damp"),
		"cure":         cureReason(),
		"dry_off":      dryReason(),
		"block":        blockReason(),
		"haze":         hazeReason(),
		"rain_free":    after("rain", "rain too soon after the work"),
		"dew_free":     after("dew", "dew too soon after the work"),
	}
})

func cureReason() reason {
	return reason{
		without: "it would not cure", least: true, number: Options.temperature,
		broken: func(v, b string) string { return "panel down to " + v + " while it cures, needs " + b },
		// A panel that stays warm enough leaves one reason: air too dry for it.
		kept: func(string, string) string { return "air too dry for it to cure" },
	}
}

// dryCure is cureReason for air that is too dry.
func dryCure() reason {
	return reason{
		without: "air too dry for it to cure", least: true, number: percent,
		broken: func(v, b string) string {
			return "air down to " + v + " while it cures, needs " + plain("%", 0).withUnit(b)
		},
	}
}

// reasonOf words the limit of a binding.
func reasonOf(b answer.Binding) (r reason, ok bool) {
	if b.Limit == "cure" && b.Unit == "%" {
		return dryCure(), true
	}
	r, ok = reasons()[b.Limit]
	return r, ok
}

func dryReason() reason {
	return reason{
		without: "not long enough since it was wet", least: true, hours: true, atOnce: "dry only just now",
		broken: func(v, b string) string { return "dry for only " + v + ", needs " + b },
		kept:   func(v, b string) string { return "dry for " + v + ", needs " + b },
	}
}

func blockReason() reason {
	return reason{
		without: "too short a stretch to be worth it", least: true, hours: true,
		broken: func(v, b string) string { return "only " + v + " in one stretch, needs " + b },
		kept:   func(v, b string) string { return v + " in one stretch, needs " + b },
	}
}

func sectionReason() reason {
	r := subject("only ", " can be washed before it dries", true, Options.area, "it dries before it can be towelled")
	r.kept = subject("", " can be washed before it dries", true, nil, "").broken
	return r
}

func hazeReason() reason {
	return reason{
		without: "no time left to wipe it off", least: true, number: func(Options) quantity { return plain("min", 0) },
		broken: func(v, b string) string { return "only " + v + " to wipe it off, needs " + b },
		kept:   func(v, b string) string { return v + " to wipe it off, needs " + b },
	}
}

// Because says in words what decides a state, with value and bound in the units
// of o and without capital or full stop: "panel 2.2 °F over dew point, needs
// 5.4". Bounds are rounded to the strict side, and a value past its bound
// never looks as if it were inside it.
func Because(b answer.Binding, o Options) string { return untie(because(b, o)) }

// because is Because with its numbers and units still tied together. Where a product
// has two dry-offs it says first which water it speaks of.
func because(b answer.Binding, o Options) string {
	return sinceWords(b) + becauseAlone(b, o)
}

// sinceWords is which water a dry-off counts from, where that has to be said; where none is
// known of, how far back that goes is no time since water.
func sinceWords(b answer.Binding) string {
	switch {
	case b.Since == "":
		return ""
	case b.AtLeast:
		return "no " + b.Since + " as far back as is known: "
	}
	return "since the last " + b.Since + ": "
}

func becauseAlone(b answer.Binding, o Options) string {
	r, ok := reasonOf(b)
	switch {
	case !ok && b.Text != "":
		return o.prose(b.Text)
	case !ok:
		return name(b.Limit, 40)
	case r.told && b.Text != "":
		return o.prose(strings.TrimPrefix(b.Text, "not known: "))
	case !finite(b.Value) && endless(b.Text):
		return o.prose(b.Text)
	case b.Limit == "film" && !finite(b.Value) && slices.Contains(falls, b.Text):
		return b.Text
	case r.broken == nil || !finite(b.Value) || !finite(b.Bound):
		return r.without
	case b.Limit == "film" && o.us(): // ounces on a panel say nothing to anybody
		return wet(r.isBroken(*b.Value, *b.Bound)) + goesOff(b.Text)
	}
	if b.Limit == "spread_min" && *b.Value < 0 {
		return belowDew(*b.Value, *b.Bound, o)
	}
	v, bound := r.figures(*b.Value, *b.Bound, o)
	ideal := strings.Contains(b.Text, ", ideal ")
	warmEnough, tooSmall := b.Limit == "cure" && ideal, b.Limit == "section" && !ideal
	if r.kept != nil && !r.isBroken(*b.Value, *b.Bound) && !warmEnough && !tooSmall {
		return asIdeal(b, r.kept(v, bound)) + warmHours(b, o)
	}
	return asIdeal(b, r.flavoured(b, v, bound, o))
}

// endless reports a sentence about a clock that nothing in the data stops.
func endless(text string) bool { return strings.HasPrefix(text, "no ") || text == "dry for long" }

// wet words water on a panel without a figure.
func wet(broken bool) string {
	if broken {
		return "water on the panel"
	}
	return "panel dry"
}

// flavoured words value and bound by what the answer's own sentence says besides
// its numbers: that a clock counts warm hours, that it is the forecast which
// ends and not the dry spell.
func (r reason) flavoured(b answer.Binding, v, bound string, o Options) string {
	if r.hours && strings.HasPrefix(b.Text, "the forecast ends") {
		return "the forecast ends " + v + " after the work, needs " + bound + warmHours(b, o)
	}
	s := r.broken(v, bound)
	if r.hours && *b.Value*60 < 1 && r.atOnce != "" {
		s = r.atOnce + ", needs " + bound
	}
	if off := goesOff(b.Text); off != "" && b.Limit == "film" {
		before, most, _ := strings.Cut(s, ", at most ")
		if s = before + off; strings.Contains(b.Text, off+", at most ") {
			s += ", at most " + most
		}
	}
	if strings.HasPrefix(b.Text, mayCome) {
		s = mayCome + strings.TrimPrefix(s, "rain ")
	}
	return s + warmHours(b, o)
}

// warmHours says of a clock's figures that its hours are those at 20 °C, where the
// answer's own sentence does.
func warmHours(b answer.Binding, o Options) string {
	if !strings.Contains(b.Text, " counted at 20 °C") {
		return ""
	}
	return " counted as at " + o.temperature().show(20, nearest)
}

// mayCome begins the sentence of rain that only its chance tells of.
const mayCome = "rain may come "

// falls are the answer's words for water on a panel that has no figure because it
// comes down all the while.
var falls = []string{"rain wets the panel", "sprinklers wet the panel", "water drips on the panel"}

// goesOff is how water on a panel goes away that stands in no way of the work, ""
// where it does.
func goesOff(text string) string {
	for _, s := range [...]string{": towel it off first", ": bare wood soaks it up, its drying time tells"} {
		if strings.Contains(text, s) {
			return s
		}
	}
	return ""
}

// asIdeal words the bound as that of the ideal band, where the answer's own
// sentence says that it is: work may be done on either side of it.
func asIdeal(b answer.Binding, s string) string {
	if !strings.Contains(b.Text, ", ideal ") {
		return s
	}
	return strings.Replace(strings.Replace(s, ", needs ", ", ideal from ", 1), ", at most ", ", ideal up to ", 1)
}

func finite(x *float64) bool { return x != nil && !math.IsNaN(*x) && !math.IsInf(*x, 0) }

func (r reason) isBroken(value, bound float64) bool {
	if r.least {
		return value < bound
	}
	return value > bound
}

// figures writes value and bound: the bound to its strict side, a value past it
// away from it, one inside it to the nearest but never past the shown bound.
func (r reason) figures(value, bound float64, o Options) (string, string) {
	strict, past := down, up
	if r.least {
		strict, past = up, down
	}
	if !r.isBroken(value, bound) {
		past = strict
	}
	if r.hours {
		return duration(value-centHour*float64(past), past), duration(bound, strict)
	}
	q := r.number(o)
	return q.show(value, past), figure(q.of(bound), q.digits, strict, false)
}

// centHour is what the rounding of an answer's hours to hundredths may have
// taken off or put on: 0.33 h are 20 minutes.
const centHour = 0.005

// belowDew words a panel colder than the dew point.
func belowDew(value, bound float64, o Options) string {
	q := o.degrees()
	return "panel " + q.show(-value, up) + " below dew point, needs " +
		figure(q.of(bound), q.digits, up, false) + " over it"
}
