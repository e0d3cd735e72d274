package cli

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"dewgap/window/job"
)

// number is a figure with what stands behind it.
var number = regexp.MustCompile(`^([+-]?[0-9]+(?:\.[0-9]+)?) ?(.*)$`)

// measured reads a number whose unit is one of some, each with what turns it into
// SI; the unit "" is none given.
func measured(flag, text, example string, units map[string]func(float64) float64) (job.Measured, error) {
	if text == "" {
		return job.Measured{}, nil
	}
	if m := number.FindStringSubmatch(text); m != nil {
		if si, ok := units[strings.ToLower(m[2])]; ok {
			if v, err := strconv.ParseFloat(m[1], 64); err == nil {
				return job.Measured{V: math.Round(1000*si(v)) / 1000, Known: true}, nil
			}
		}
	}
	return job.Measured{}, &usageError{"--" + flag + " " + text + " cannot be read", "for example --" + flag + " " + example}
}

// within refuses a figure beyond what a reading can be, in the unit that was typed: the
// reader of readings files knows it in SI alone. What is no figure passes: measured has
// its say on that.
func within(flag, key, text string, units map[string]func(float64) float64, v job.Measured) error {
	low, high, ok := job.ReadingRange(key)
	m := number.FindStringSubmatch(text)
	if !ok || !v.Known || m == nil || v.V >= low && v.V <= high {
		return nil
	}
	si := units[strings.ToLower(m[2])]
	typed := func(x float64) float64 { return (x - si(0)) / (si(1) - si(0)) }
	least, most := strconv.FormatFloat(math.Ceil(typed(low)-1e-6)+0, 'f', -1, 64), strconv.FormatFloat(math.Floor(typed(high)+1e-6), 'f', -1, 64)
	fix := "give --" + flag + " " + least + m[2] + " to " + most + m[2]
	if unit := bareUnits[key]; m[2] == "" && unit != "" {
		fix += ", in " + unit
	}
	return job.Errors{{Message: "--" + flag + " " + text + " is out of range", Fix: fix + "; else read it again, with the unit that the instrument shows"}}
}

// bareUnits is what a figure without a unit is in.
var bareUnits = map[string]string{
	"humidity_pct": "per cent", "wind_m_s": "metres per second", "moisture_pct": "per cent of the wood's dry weight", "haze_min": "minutes",
}

func as(v float64) float64 { return v }

// Units of what is measured, in small letters. Exact by definition.
var (
	celsius = map[string]func(float64) float64{
		"c": as, "°c": as, "f": func(f float64) float64 { return (f - 32) / 1.8 }, "°f": func(f float64) float64 { return (f - 32) / 1.8 },
	}
	percent = map[string]func(float64) float64{"": as, "%": as}
	wind    = map[string]func(float64) float64{
		"": as, "m/s": as, "kn": func(v float64) float64 { return v * 1852 / 3600 }, "kt": func(v float64) float64 { return v * 1852 / 3600 },
		"mph": func(v float64) float64 { return v * 1609.344 / 3600 }, "km/h": func(v float64) float64 { return v / 3.6 },
	}
	minutes = map[string]func(float64) float64{"": as, "min": as}
)

// shareOf reads 0.5 or 50%.
func shareOf(text string) (float64, error) {
	wrong := &usageError{"--share " + text + " is no share", "give more than 0 and at most 1, as 0.5, 50% or 2/3"}
	scale := 1.0
	if strings.HasSuffix(text, "%") {
		scale = 100
	}
	number := strings.TrimSuffix(text, "%")
	if of, parts, is := strings.Cut(number, "/"); is { // thirds are no round per cent
		n, err := strconv.Atoi(strings.TrimSpace(parts))
		if err != nil || n < 1 || number != text {
			return 0, wrong
		}
		number, scale = of, float64(n)
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || !(v > 0 && v <= scale) {
		return 0, wrong
	}
	return v / scale, nil
}

// saidOf reads yes, no or unknown.
func saidOf(flag, text string) (job.Told, error) {
	switch text {
	case "", "unknown":
		return job.NotTold, nil
	case "yes", "true":
		return job.Yes, nil
	case "no", "false":
		return job.No, nil
	}
	return job.NotTold, &usageError{"--" + flag + " " + text + " is neither yes nor no", "give --" + flag + " yes, no or unknown"}
}
