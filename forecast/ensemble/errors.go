package ensemble

import (
	"math"
	"time"

	"dewgap/forecast"
)

// Growth is how a number changes with lead time: from Now at once over Day1 after
// 24 hours to Day7 after 168, straight in between and on beyond, but never past
// End, where an error saturates.
type Growth struct{ Now, Day1, Day7, End float64 }

// At gives the number for a lead time of leadH hours; below zero is zero.
func (g Growth) At(leadH float64) float64 {
	var v float64
	if leadH <= 24 {
		v = g.Now + (g.Day1-g.Now)*math.Max(leadH, 0)/24
	} else {
		v = g.Day1 + (g.Day7-g.Day1)*(leadH-24)/(168-24)
	}
	if g.Day7 >= g.Day1 {
		return math.Min(v, g.End)
	}
	return math.Max(v, g.End)
}

// Errors are how far the futures stray from the forecast. Sizes are standard
// deviations.
type Errors struct {
	AirDay   Growth // air temperature at 16 h solar time, K
	AirNight Growth // air temperature at 4 h solar time, K; in between it swings
	Dew      Growth // dew point, K
	// Place is the error that is there at any lead, in air temperature and in dew
	// point, K: a forecast is made for a grid or a station, and not for the berth. It
	// adds to the others by its square.
	Place float64
	// Tails are the degrees of freedom of Student's t, above 2, that the errors of
	// air temperature and dew point have: the fewer, the oftener one is far out. 0 is
	// normal errors. The standard deviation is the same with either.
	Tails int
	// DewWithAir is the correlation of the dew point's error with the air
	// temperature's, −1–1.
	DewWithAir float64

	// Wind is the error of the logarithm of wind + 1 m/s, and of gust + 1 m/s:
	// in proportion when it blows, about so many m/s when it is calm.
	Wind     Growth
	WindFrom Growth // wind direction, degrees

	Cloud Growth // cloud cover, % of the sky
	// CloudWithRain is the correlation of the cloud's error with the tendency to
	// rain, −1–1.
	CloudWithRain float64

	RainAmount Growth // the logarithm of an amount of rain
	RainShift  Growth // the hour at which rain comes, h
	// RainHit is the probability in % that it rains in an hour for which a
	// forecast without probability says rain, RainMiss that it rains in one for
	// which it says dry.
	RainHit, RainMiss Growth

	// Hours after which the quick part of an error has fallen to 1/e of itself.
	AirH, DewH, WindH, CloudH, RainH float64
	// SlowH is the same for the part of every error that stays for days (the
	// wrong air mass), and SlowShare that part's share of the variance, 0–1.
	SlowH, SlowShare float64
}

// sigma turns a mean absolute error into the standard deviation of a normal
// error with that mean: √(π/2).
const sigma = 1.2533141373155003

// Default are the errors that Dress assumes.
//
// Air temperature: mean absolute errors of 1.1 K (day 1) to 2.8 K (day 7) for the
// highest of the day and 1.7 to 3.3 K for the lowest, as the US National Weather
// Service at Milwaukee published for southern Wisconsin in November 2011; that
// they grow no further after about ten days, and the 0.5 K of the present hour,
// are assumptions.
//
// Those are forecasts that a local office made for its own station. Of eight models'
// 48-hour forecasts for 277 stations on the US Pacific coast in January 2004 the
// middle 80 % so dressed held 68 % only. Place is what was missing, chosen to the half
// kelvin on one model at half of the stations on half of the days: there 80 % held
// 79 %, at the other stations on the other days 82 %, with the seven other models
// 81 %. It is one hour of the day at one lead in one month; in that month's cold spell
// 80 % held 73 %, in the milder half 89 %. That it is the same at all leads and in the
// dew point is an assumption; that errors of air temperature often depend little on
// the lead is said by ECMWF's Forecast User Guide, section 9.2.1. Tails are rounded
// from there too: the errors had a kurtosis of 6.6 where Place was chosen and 4.8 in
// all; Student's t has these with 6 and 7 degrees of freedom, and a normal has 3.
//
// Everything else is an assumption, from memory and common practice: the dew
// point's mean error 1.2 to 1.3 times the temperature's of the day; the wind's
// mean error 1.35 m/s (day 1) to 2 m/s (day 7) at a wind of 4.5 m/s; hourly
// sunlight off by a fifth to two fifths; rain an hour early or late on the day
// itself, two hours the next day and three from the third (taken as the span of
// nine cases in ten). Errors of this morning last 3–6 h in temperature, 6–12 h in
// dew point and 2–3 h in wind.
func Default() Errors {
	return Errors{
		AirDay:     Growth{0.5, 1.1 * sigma, 2.8 * sigma, 4.6},
		AirNight:   Growth{0.5, 1.7 * sigma, 3.3 * sigma, 5.0},
		Dew:        Growth{0.7, 1.3 * 1.1 * sigma, 1.2 * 2.8 * sigma, 4.8},
		Place:      2,
		Tails:      7,
		DewWithAir: 0.5,

		Wind:     Growth{0.10, 1.35 * sigma / 5.5, 2 * sigma / 5.5, 0.5},
		WindFrom: Growth{10, 25, 60, 75},

		Cloud:         Growth{8, 25, 40, 40},
		CloudWithRain: 0.5,

		RainAmount: Growth{0.2, 0.6, 1, 1},
		RainShift:  Growth{1 / nineInTen, 2 / nineInTen, 6 / nineInTen, 3 / nineInTen},
		RainHit:    Growth{95, 85, 60, 50},
		RainMiss:   Growth{0.5, 2, 8, 10},

		AirH: 5, DewH: 9, WindH: 2.5, CloudH: 3, RainH: 3,
		SlowH: 60, SlowShare: 0.5,
	}
}

// nineInTen is half the width, in standard deviations, of the span that holds
// nine in ten of a normal error.
const nineInTen = 1.6448536269514722

// sizes are the Errors by slot.
type sizes struct {
	air, dew, wind, from, cloud, amount, shift, hit, miss []float64
}

func newSizes(e Errors, f *forecast.Forecast, base time.Time) sizes {
	all := make([]float64, 9*f.N)
	part := func(i int) []float64 { return all[i*f.N : (i+1)*f.N] }
	s := sizes{part(0), part(1), part(2), part(3), part(4), part(5), part(6), part(7), part(8)}
	for i := range f.N {
		at := f.Start.Add(time.Duration(i) * f.Step)
		lead := at.Sub(base).Hours()
		night := nightness(at, f.Place.Longitude)
		s.air[i] = e.air(lead, night)
		s.dew[i] = e.dew(lead)
		s.wind[i] = e.Wind.At(lead)
		s.from[i] = e.WindFrom.At(lead)
		s.cloud[i] = e.Cloud.At(lead)
		s.amount[i] = e.RainAmount.At(lead)
		s.shift[i] = e.RainShift.At(lead)
		s.hit[i] = e.RainHit.At(lead) / 100
		s.miss[i] = e.RainMiss.At(lead) / 100
	}
	return s
}

// air is the error of the air temperature at a lead, K, night being the nightness.
func (e Errors) air(lead, night float64) float64 {
	return math.Hypot(e.Place, e.AirDay.At(lead)*(1-night)+e.AirNight.At(lead)*night)
}

// dew is the error of the dew point at a lead, K.
func (e Errors) dew(lead float64) float64 { return math.Hypot(e.Place, e.Dew.At(lead)) }

// nightness is 1 at 4 h and 0 at 16 h mean solar time, about when it is coldest
// and warmest, and swings in between.
func nightness(at time.Time, longitude float64) float64 {
	hours := float64(at.Unix()%86400)/3600 + longitude/15
	return 0.5 * (1 + math.Cos(2*math.Pi*(hours-4)/24))
}
