package pages

import (
	"errors"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"
	"dewgap/window/job"
)

// takeReadings writes down what was measured and goes back to the morning check,
// which then counts with it. A mistake shows the form once more, as it was filled in.
func (p *Pages) takeReadings(r *http.Request) (*view, error) {
	if err := r.ParseForm(); err != nil {
		return nil, err
	}
	list, err := p.voice.readings(r.PostForm)
	if err == nil {
		err = p.cfg.Desk.AddReadings(r.Context(), r.PathValue("job"), list)
	}
	if text, again := mistake(err); again {
		return p.morningView(r, inFormWords.Replace(text), filled(r.PostForm))
	}
	if err != nil {
		return nil, err
	}
	return seeOther("/morning/" + url.PathEscape(r.PathValue("job")) + "?saved=" + strconv.Itoa(len(list))), nil
}

// inFormWords puts the words of the form in place of the keys of a readings file.
var inFormWords = strings.NewReplacer("`air_c`", "Air", "`humidity_pct`", "Humidity", "`wind_m_s`", "Wind", "`surface_c`", "Surface",
	"`wet`", "Panel", "`sun`", "Sun", "`by`", "Read with", "`sky`", "Sky", "`salt`", "Salt", "`spray`", "Spray", "`zone`", "Zone")

// mistake is an error in what a person filled in, in words.
func mistake(err error) (string, bool) {
	if t, ok := errors.AsType[*trouble](err); ok {
		return stopped(t.text) + " " + t.fix, true
	}
	if list, ok := errors.AsType[job.Errors](err); ok {
		var lines []string
		for _, e := range list {
			s := answer.Capital(e.Message)
			if e.Fix != "" {
				s += ": " + e.Fix
			}
			lines = append(lines, stopped(s))
		}
		return strings.Join(lines, " "), true
	}
	if err != nil && desk.Known(err) && !errors.Is(err, desk.ErrNoJob) {
		x := desk.Failures(err)[0]
		return stopped(answer.Capital(x.Error)) + " " + stopped(answer.Capital(x.Fix)), true
	}
	return "", false
}

// filled is a form as it was filled in, the first value of each field.
func filled(f url.Values) map[string]string {
	out := map[string]string{}
	for k, v := range f {
		if len(v) > 0 && len(v[0]) <= 4096 {
			out[k] = v[0]
		}
	}
	return out
}

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

func (v voice) ofPlace(f url.Values) (m job.Reading, err error) {
	if m.AirC, err = v.degrees("the air temperature", f.Get("air")); err != nil {
		return m, err
	}
	if m.HumidityPct, err = number("the humidity", f.Get("humidity")); err != nil {
		return m, err
	}
	if m.WindMS, err = number("the wind", f.Get("wind")); err != nil {
		return m, err
	}
	m.WindMS.V *= v.windUnit().inMS
	m.Sky = job.SkyCover(1 + index(f.Get("sky"), "clear", "partly", "overcast"))
	m.Salt, m.Spray = told(f.Get("salt")), told(f.Get("spray"))
	return m, nil
}

func (v voice) ofZone(f url.Values, n string) (m job.Reading, err error) {
	if m.SurfaceC, err = v.degrees("the panel temperature", f.Get("surface."+n)); err != nil {
		return m, err
	}
	if m.SurfaceC.Known {
		m.By = job.Instrument(1 + index(f.Get("by."+n), "infrared", "contact"))
		if m.By == job.NoInstrument {
			return m, badForm("What was "+brief(f.Get("zone."+n))+" read with?", "Choose infrared or contact beside it.")
		}
	}
	m.Wet, m.Sun = told(f.Get("wet."+n)), told(f.Get("sun."+n))
	return m, nil
}

// index is the place of a word among others, -1 where it is none of them.
func index(s string, words ...string) int {
	for i, w := range words {
		if s == w {
			return i
		}
	}
	return -1
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
func number(what, s string) (job.Measured, error) {
	s = strings.TrimSpace(s)
	if s == "" {
		return job.Measured{}, nil
	}
	x, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return job.Measured{}, badForm(answer.Capital(what)+" “"+brief(s)+"” is no number", "Write it in figures, like 13.4.")
	}
	return job.Measured{V: x, Known: true}, nil
}

// degrees reads a temperature in the page's units, as °C.
func (v voice) degrees(what, s string) (job.Measured, error) {
	m, err := number(what, s)
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
