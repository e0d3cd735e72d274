package nws

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// The groups of a station's message that are read (METAR; WMO No. 306, FM 15,
// and the T group of the US remarks, Federal Meteorological Handbook No. 1,
// 12.7.2; both from memory).
var (
	windGroup   = regexp.MustCompile(`^(\d{3}|VRB)(\d{2,3})(?:G(\d{2,3}))?(KT|MPS)$`)
	wholeGroup  = regexp.MustCompile(`^(M?)(\d{2})/(?:(M?)(\d{2}))?$`)
	tenthsGroup = regexp.MustCompile(`^T([01])(\d{3})([01])(\d{3})$`)
	inchesGroup = regexp.MustCompile(`^A(\d{4})$`)
	hectoGroup  = regexp.MustCompile(`^Q(\d{4})$`)
)

// knots and inches of mercury in our units, exact and conventional (inHg at 0 °C).
const (
	knot = 1852.0 / 3600
	inHg = 33.86389
)

// fillFromMessage takes what the reply itself does not have from the message,
// and says so: the service now and then passes the message on and nothing of
// what it says.
func fillFromMessage(o *forecast.Observation, message string) {
	if message == "" {
		return
	}
	m := readMessage(message)
	for _, x := range []struct {
		name string
		q    forecast.Quantity
		from forecast.Measured
		to   *forecast.Measured
	}{
		{"air temperature", forecast.AirTemperature, m.air, &o.Air},
		{"dew point", forecast.DewPoint, m.dew, &o.DewPoint},
		{"wind", forecast.WindSpeed, m.wind, &o.Wind},
		{"wind direction", forecast.WindFrom, m.from, &o.WindFrom},
		{"gust", forecast.Gust, m.gust, &o.Gust},
		{"pressure", forecast.Pressure, m.altimeter, &o.Pressure},
	} {
		if x.to.Known || !x.from.Known || flagged(o.Flags, x.name) {
			continue
		}
		v, ok := reply.Possible(x.q, x.from.V)
		if !ok {
			continue
		}
		*x.to = forecast.Measured{V: v, Known: true}
		if x.q == forecast.Pressure {
			*x.to = grounded(v, o)
		}
		if x.to.Known {
			o.Flags = append(o.Flags, x.name+" is read from the station's message and was not checked")
		}
	}
}

// flagged reports a value that was there and is not used: the message has the
// same one.
func flagged(flags []string, name string) bool {
	for _, f := range flags {
		if strings.HasPrefix(f, name+" ") {
			return true
		}
	}
	return false
}

// message is what is read of a METAR.
type message struct{ air, dew, wind, from, gust, altimeter forecast.Measured }

// readMessage reads group by group; what it does not know it passes over. What
// follows the words of change is a forecast and no measurement.
func readMessage(text string) message {
	var m message
	remarks := false
	for _, g := range strings.Fields(strings.ToUpper(text)) {
		switch {
		case g == "TEMPO", g == "BECMG":
			return m
		case g == "RMK":
			remarks = true
		case remarks:
			m.remark(g)
		default:
			m.group(g)
		}
	}
	return m
}

func (m *message) group(g string) {
	if x := windGroup.FindStringSubmatch(g); x != nil && !m.wind.Known {
		unit := 1.0
		if x[4] == "KT" {
			unit = knot
		}
		m.wind, m.gust = scaled(x[2], unit), scaled(x[3], unit)
		m.from = scaled(x[1], 1)
		if m.wind.V == 0 { // a calm has no direction
			m.from = forecast.Measured{}
		}
	}
	if x := wholeGroup.FindStringSubmatch(g); x != nil && !m.air.Known {
		m.air, m.dew = signed(x[1], "M", x[2], 1), signed(x[3], "M", x[4], 1)
	}
	if x := inchesGroup.FindStringSubmatch(g); x != nil {
		m.altimeter = scaled(x[1], inHg/100)
	}
	if x := hectoGroup.FindStringSubmatch(g); x != nil {
		m.altimeter = scaled(x[1], 1)
	}
}

// remark reads the temperatures in tenths, which outrank the whole degrees.
func (m *message) remark(g string) {
	if x := tenthsGroup.FindStringSubmatch(g); x != nil {
		m.air, m.dew = signed(x[1], "1", x[2], 0.1), signed(x[3], "1", x[4], 0.1)
	}
}

// scaled reads a whole number; "" and words are not known.
func scaled(digits string, unit float64) forecast.Measured {
	n, err := strconv.Atoi(digits)
	if err != nil {
		return forecast.Measured{}
	}
	return forecast.Measured{V: float64(n) * unit, Known: true}
}

// signed is scaled with a sign of its own.
func signed(sign, minus, digits string, unit float64) forecast.Measured {
	v := scaled(digits, unit)
	if sign == minus {
		v.V = -v.V
	}
	v.V = math.Round(v.V*10)/10 + 0
	return v
}
