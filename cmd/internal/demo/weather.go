package demo

import (
	"bufio"
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
)

//go:embed weather.txt
var table string

// day is one line of the table.
type day struct {
	low, high, dew, wind float64
	cloud                [4]float64
	rain                 []shower
}

// shower is rain in the hours [from, to) of a day, mm in each of them.
type shower struct {
	from, to int
	mm       float64
}

// weather is the table: its days follow one another, the first being day first.
type weather struct {
	first int
	days  []day
}

// readWeather reads the table.
func readWeather(text string) (weather, error) {
	var w weather
	lines := bufio.NewScanner(strings.NewReader(text))
	for lines.Scan() {
		line := strings.TrimSpace(lines.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		n, d, err := readDay(strings.Fields(line))
		if err != nil {
			return w, fmt.Errorf("demo weather %q: %w", line, err)
		}
		if len(w.days) == 0 {
			w.first = n
		}
		if n != w.first+len(w.days) {
			return w, fmt.Errorf("demo weather %q: the day does not follow the one before", line)
		}
		w.days = append(w.days, d)
	}
	if len(w.days) == 0 {
		return w, fmt.Errorf("demo weather: no days")
	}
	return w, nil
}

func readDay(fields []string) (n int, d day, err error) {
	const numbers = 9
	if len(fields) <= numbers {
		return 0, d, fmt.Errorf("%d columns are too few", len(fields))
	}
	var v [numbers]float64
	for i := range v {
		if v[i], err = strconv.ParseFloat(fields[i], 64); err != nil {
			return 0, d, err
		}
	}
	d = day{low: v[1], high: v[2], dew: v[3], wind: v[4], cloud: [4]float64{v[5], v[6], v[7], v[8]}}
	for _, text := range fields[numbers:] {
		if text == "-" {
			continue
		}
		var s shower
		if _, err := fmt.Sscanf(text, "%d-%d:%f", &s.from, &s.to, &s.mm); err != nil {
			return 0, d, err
		}
		d.rain = append(d.rain, s)
	}
	return int(v[0]), d, nil
}

// at is day number n of the table, the nearest one outside it.
func (w weather) at(n int) day { return w.days[min(max(n-w.first, 0), len(w.days)-1)] }

// hour is the weather of one hour: instants at its beginning, rain in it.
type hour struct{ air, dew, wind, cloud, rain float64 }

// hour spins the table out to the hour that begins h hours after the first
// midnight of day 0, for one member.
func (w weather) hour(h float64, m member) hour {
	lead := math.Sqrt(math.Max(0, h/24))
	out := hour{
		air:   w.air(h) + 0.4*lead*m.air,
		dew:   w.between(h, 12, 24, func(d day) float64 { return d.dew }) + 0.3*lead*m.dew,
		cloud: w.cloud(h) + 6*lead*m.cloud,
	}
	out.wind = w.between(h, 12, 24, func(d day) float64 { return d.wind }) * daily(h) * (1 + 0.07*lead*m.wind)
	shift := math.Round(0.6 * math.Min(h/24, 4) * m.rain)
	if h < 0 {
		shift = 0
	}
	out.rain = w.rain(h - shift)
	out.cloud = math.Min(math.Max(out.cloud, 0), 100)
	out.dew = math.Min(out.dew, out.air-0.2)
	out.wind = math.Max(out.wind, 0.3)
	return out
}

// daily is the course of the wind through a day, 1 at noon, half of it by night.
func daily(h float64) float64 {
	return 0.75 + 0.25*math.Cos(2*math.Pi*(h-14)/24)
}

// between draws a line between the values that the days have at one hour of the
// day, every period hours.
func (w weather) between(h, at, period float64, value func(day) float64) float64 {
	x := (h - at) / period
	n := math.Floor(x)
	a, b := value(w.at(int(n))), value(w.at(int(n)+1))
	return a + (b-a)*(x-n)
}

// air swings from the low at 05:00 to the high at 15:00 and down to the next low.
func (w weather) air(h float64) float64 {
	const low, high = 5, 15
	n := int(math.Floor(h / 24))
	t := h - 24*float64(n)
	swing := func(from, to, x float64) float64 { return from + (to-from)*(1-math.Cos(math.Pi*x))/2 }
	switch {
	case t < low:
		return swing(w.at(n-1).high, w.at(n).low, (t+24-high)/(24-high+low))
	case t < high:
		return swing(w.at(n).low, w.at(n).high, (t-low)/(high-low))
	}
	return swing(w.at(n).high, w.at(n+1).low, (t-high)/(24-high+low))
}

// cloud draws lines between the four values of each day.
func (w weather) cloud(h float64) float64 {
	x := (h - 3) / 6
	n := int(math.Floor(x))
	value := func(k int) float64 { return w.at(floorDiv(k, 4)).cloud[k-4*floorDiv(k, 4)] }
	return value(n) + (value(n+1)-value(n))*(x-float64(n))
}

func (w weather) rain(h float64) float64 {
	n := int(math.Floor(h / 24))
	of := int(math.Floor(h)) - 24*n
	for _, s := range w.at(n).rain {
		if of >= s.from && of < s.to {
			return s.mm
		}
	}
	return 0
}

func floorDiv(a, b int) int { return int(math.Floor(float64(a) / float64(b))) }
