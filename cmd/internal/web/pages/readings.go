package pages

import (
	"errors"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/window/job"
)

// takeReadings writes down what was measured and goes back to the morning check,
// which then counts with it. A mistake shows the form once more, as it was filled in.
func (p *Pages) takeReadings(r *http.Request) (*view, error) {
	if err := readForm(r); err != nil {
		return nil, err
	}
	list, err := p.voice.readings(r.PostForm)
	if err == nil {
		err = p.cfg.Desk.AddReadings(r.Context(), r.PathValue("job"), list)
	}
	if list, ok := errors.AsType[job.Errors](err); ok {
		err = p.voice.beside(r.PostForm, list)
	}
	if x, again := refuse(err, r.PostForm); again {
		x.Problem = inFormWords.Replace(x.Problem)
		return p.morningView(r, x)
	}
	if err != nil {
		return nil, err
	}
	return seeOther("/morning/" + url.PathEscape(r.PathValue("job")) + "?saved=" + strconv.Itoa(len(list))), nil
}

// inFormWords puts the words of the form in place of the keys of a readings file.
var inFormWords = strings.NewReplacer("`air_c`", "Air", "`humidity_pct`", "Humidity", "`wind_m_s`", "Wind", "`surface_c`", "Surface",
	"`wet`", "Panel", "`sun`", "Sun", "`by`", "Read with", "`sky`", "Sky", "`salt`", "Salt", "`spray`", "Spray", "`zone`", "Zone")

// readings reads the form: one reading of the place and one of each zone, those that
// say anything.
func (v voice) readings(f url.Values) ([]job.Reading, error) {
	var out []job.Reading
	place, err := v.ofPlace(f)
	if err != nil {
		return nil, err
	}
	if place != (job.Reading{}) {
		out = append(out, place)
	}
	for i := 0; ; i++ {
		n := strconv.Itoa(i)
		name := f.Get("zone." + n)
		if name == "" {
			break
		}
		x, err := v.ofZone(f, n)
		if err != nil {
			return nil, err
		}
		if x != (job.Reading{}) {
			x.Zone = name
			out = append(out, x)
		}
	}
	if len(out) == 0 {
		return nil, badForm("Nothing was filled in", "One reading is enough: the air, or one panel.")
	}
	return out, nil
}

// beside finds the figure of the form that the reader of readings refuses, and tells it
// as it was given: the reader knows it in SI alone, and not which field it is from.
func (v voice) beside(f url.Values, list job.Errors) error {
	type figure struct{ field, key, name, unit string }
	figures := []figure{{"air", "air_c", "Air", v.unit("°C")}, {"humidity", "humidity_pct", "Humidity", "%"}, {"wind", "wind_m_s", "Wind", v.windUnit().name}}
	for i := 0; f.Get("zone."+strconv.Itoa(i)) != ""; i++ {
		n := strconv.Itoa(i)
		figures = append(figures, figure{"surface." + n, "surface_c", "Surface of " + brief(f.Get("zone."+n)), v.unit("°C")})
	}
	for _, x := range figures {
		m, err := v.figure(x.key, f.Get(x.field))
		if err != nil || !m.Known {
			continue
		}
		said := "`" + x.key + "` " + strconv.FormatFloat(m.V, 'f', -1, 64) + " is out of range"
		if slices.ContainsFunc(list, func(e job.Error) bool { return e.Message == said }) {
			return badField(x.field, x.name+" "+brief(strings.TrimSpace(f.Get(x.field)))+" is out of range", "The field is in "+x.unit+v.from(x.key)+".")
		}
	}
	return list
}

// from is the range of a key of readings in the page's unit, rounded inwards: ", from -40
// to 140".
func (v voice) from(key string) string {
	low, high, ok := job.ReadingRange(key)
	if !ok {
		return ""
	}
	zero, err := v.figure(key, "0")
	one, also := v.figure(key, "1")
	if err != nil || also != nil {
		return ""
	}
	whole := func(si float64, to func(float64) float64, dust float64) string {
		return strconv.FormatFloat(to((si-zero.V)/(one.V-zero.V)+dust)+0, 'f', -1, 64)
	}
	return ", from " + whole(low, math.Ceil, -1e-6) + " to " + whole(high, math.Floor, 1e-6)
}

// figure reads a number in the page's unit of a key of readings, as that key has it.
func (v voice) figure(key, s string) (job.Measured, error) {
	switch key {
	case "air_c", "surface_c":
		return v.degrees("", "", s)
	case "wind_m_s":
		m, err := number("", "", s)
		m.V *= v.windUnit().inMS
		return m, err
	}
	return number("", "", s)
}

func (v voice) ofPlace(f url.Values) (m job.Reading, err error) {
	if m.AirC, err = v.degrees("the air temperature", "air", f.Get("air")); err != nil {
		return m, err
	}
	if m.HumidityPct, err = number("the humidity", "humidity", f.Get("humidity")); err != nil {
		return m, err
	}
	if m.WindMS, err = number("the wind", "wind", f.Get("wind")); err != nil {
		return m, err
	}
	m.WindMS.V *= v.windUnit().inMS
	m.Sky = job.SkyCover(1 + slices.Index([]string{"clear", "partly", "overcast"}, f.Get("sky")))
	m.Salt, m.Spray = told(f.Get("salt")), told(f.Get("spray"))
	if m == (job.Reading{Sky: m.Sky}) && m.Sky != job.SkyNotTold {
		return m, badField("sky", "The sky alone is no reading", "Add the air, its humidity, the wind, salt or spray.")
	}
	return m, nil
}

func (v voice) ofZone(f url.Values, n string) (m job.Reading, err error) {
	if m.SurfaceC, err = v.degrees("the panel temperature", "surface."+n, f.Get("surface."+n)); err != nil {
		return m, err
	}
	if m.SurfaceC.Known {
		m.By = job.Instrument(1 + slices.Index([]string{"infrared", "contact"}, f.Get("by."+n)))
		if m.By == job.NoInstrument {
			return m, badField("by."+n, "What was "+brief(f.Get("zone."+n))+" read with?", "Choose infrared or contact beside it.")
		}
	}
	m.Wet, m.Sun = told(f.Get("wet."+n)), told(f.Get("sun."+n))
	if m == (job.Reading{Sun: m.Sun}) && m.Sun != job.NotTold {
		return m, badField("sun."+n, "The sun on "+brief(f.Get("zone."+n))+" alone is no reading", "Add whether the panel is wet, or how warm it is.")
	}
	return m, nil
}

func told(s string) job.Told {
	switch s {
	case "yes":
		return job.Yes
	case "no":
		return job.No
	}
	return job.NotTold
}

// number reads a figure as people write it, with a point or a comma; nothing is not
// known.
func number(what, field, s string) (job.Measured, error) {
	s = strings.TrimSpace(s)
	if s == "" {
		return job.Measured{}, nil
	}
	x, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return job.Measured{}, badField(field, answer.Capital(what)+" “"+brief(s)+"” is no number", "Write it in figures, like 13.4.")
	}
	return job.Measured{V: x, Known: true}, nil
}

// degrees reads a temperature in the page's units, as °C.
func (v voice) degrees(what, field, s string) (job.Measured, error) {
	m, err := number(what, field, s)
	if m.Known && v.units.Units == "us" {
		m.V = (m.V - 32) / 1.8
	}
	return m, err
}

// windUnit is how the page speaks of wind.
func (v voice) windUnit() windUnit {
	u := v.units.Wind
	if u == "" && v.units.Units == "us" {
		u = "mph"
	}
	switch u {
	case "mph":
		return windUnit{u, 1609.344 / 3600}
	case "kn":
		return windUnit{u, 1852.0 / 3600}
	}
	return windUnit{"m/s", 1}
}

type windUnit struct {
	name string
	inMS float64
}
