package surface

import (
	"fmt"
	"math"
	"testing"
	"time"

	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

// validation is the whole page.
func validation(t testing.TB) string {
	w := &writer{}
	w.text(`# Held against measurements

Made by ` + "`go test ./window/surface -run Validation -update`" + ` from recordings that lie beside the
repository (they are not ours to pass on); a test sees to it that this page is what
the code gives. Errors are *model less measurement*, in hourly means. *Stated* values
come from data sheets and tables of materials; values that were fitted stand apart.`)
	roofPage(w, t)
	skyPage(w, t)
	groundPage(w, t)
	dewPage(w, t)
	return w.String()
}

func roofPage(w *writer, t testing.TB) {
	hours := plateHours(t, plate())
	w.text(`
## A dark plate on a roof: sun, wind and clear nights

A thin photovoltaic plate near Berlin, six days of a changeable summer (28 July to 2
August 2023), tilt 2°, every five minutes (IBPSA modelica-ibpsa, validation data of UdK
Berlin). Measured: air, wind, sunlight on the level, the plate.

Stated: the plate absorbs 0.90 and gives 0.122 of the sunlight away as electricity (the
efficiency in the data's own record), so 0.778 warms it; glass on both faces, emissivity
0.84; two panes of 3 mm; air on both faces; the wind as it was measured. Assumed, for
nobody measured it: a dew point of 12 °C throughout, no rain, and **nights without
cloud**; by day the clearness of the five hours around tells the cloud.`)
	w.head("K")
	w.row("stated, all hours", hours, berlin)
	w.row("stated, nights (sun < 5 W/m²)", pick(hours, dark), berlin)
	w.row("stated, days", pick(hours, light), berlin)
	w.row("stated, sunlight 150 s earlier", besidePlate(sunEarlier(plateReadings(t)), plate()), berlin)
	w.row("as first stated: 0.90, 0.90, 8 kJ/m²K", plateHours(t, firstStated()), berlin)
	for _, s := range simples {
		w.row(s.name, s.hours(hours), berlin)
		w.row("… nights", pick(s.hours(hours), dark), berlin)
	}
	w.text("\nOver all twelve days recorded, of which these six are at hand, the simple models' RMSE was")
	w.text("2.74, 2.92 and 3.70 K, their nights 2.5 K too warm: they have no sky.")
	fitPage(w, t, hours)
	coolingPage(w, hours)
	residualPage(w, hours)
	w.text(`
What was wrong: time. A file's values are means of their five minutes, plate and
sunlight alike, so that an hour's mean of the one has to meet an hour's mean of the other.
Compared at the ends of slots, seven minutes late, the model was too warm every morning
and too cold every evening, and the RMSE 1.79 K. The data's source moves the sunlight 150 s
forward against the plate's electricity; the row above shows that little hangs on it. Two
properties were mended as well, while the comparison was at hand: the emissivity is that
of bare glass, and the current that leaves the plate no longer warms it.

What remains wrong. By day 2 K, most of it noise of broken cloud: single hours miss by 5 K
either way. In weak sun the model is too warm, in strong sun too cold. The sensor
reads 0 for minutes at noon; an offset of it was tried and explains nothing. Showers
wetted the plate (in weak sun on 30 July it ran 2 K below the air) and nobody wrote them
down. The first night was hardly clear: there the model is 2 K too cold.

Tried and not kept, for it does not help here or worsens the sky below: an incidence angle
modifier for glass; 0.8 and 1.2 of the wind's share; cloud that closes the sky by
1 − clearness (Crawford & Duchon 1999); clearness told only by a sun above 0.3 rad
(ASCE-EWRI 2005).`)
}

// fitPage sets the fitted value apart.
func fitPage(w *writer, t testing.TB, stated []compared) {
	a, hours := fitted(t, cloudHours)
	w.text("\nFitted: one value, the absorptance, on days 1–3 (28–30 July) alone, scored on days 4–6. It")
	w.text("comes to %.2f where %.3f was stated; knowing it better buys next to nothing.", a, plate().Absorptance)
	w.head("K")
	w.row("stated, days 1–3", stated[:fitHours], berlin)
	w.row("stated, days 4–6", stated[fitHours:], berlin)
	w.row("fitted, days 1–3 (seen)", hours[:fitHours], berlin)
	w.row("fitted, days 4–6 (unseen)", hours[fitHours:], berlin)
}

// coolingPage is how far the plate runs below the air at night.
func coolingPage(w *writer, hours []compared) {
	var mean, model float64
	most, mostModel := 0.0, 0.0
	nights := pick(hours, dark)
	for _, h := range nights {
		mean += (h.measured - h.airC) / float64(len(nights))
		model += (h.modelled - h.airC) / float64(len(nights))
		most, mostModel = min(most, h.measured-h.airC), min(mostModel, h.modelled-h.airC)
	}
	w.text("\nNight cooling below the air, which decides dew: measured %.2f K on average and %.2f K in the", mean, most)
	w.text("coldest hour; modelled %.2f and %.2f K.", model, mostModel)
}

// residualPage groups the errors as they were looked at before anything was
// changed.
func residualPage(w *writer, hours []compared) {
	w.text("\nThe errors by time of day, wind and sunlight (bias / RMSE, K):\n")
	w.text("| | | | | | | | |\n| --- | --- | --- | --- | --- | --- | --- | --- |")
	group := func(name string, n int, label func(k int) string, of func(compared) int) {
		line := "| " + name
		for k := range n {
			in := pick(hours, func(h compared) bool { return of(h) == k })
			if len(in) == 0 {
				line += " |"
				continue
			}
			s := scored(in)
			line += fmt.Sprintf(" | %s: %+.1f / %.1f", label(k), s.bias, s.rmse)
		}
		w.text("%s |", line)
	}
	group("hour", 8, func(k int) string { return fmt.Sprintf("%02d–%02d", 3*k, 3*k+3) },
		func(h compared) int { return h.at.In(berlin).Hour() / 3 })
	group("wind, m/s, by day", 4, func(k int) string { return []string{"< 0.7", "0.7–1.4", "1.4–2", "> 2"}[k] },
		func(h compared) int {
			if dark(h) {
				return -1
			}
			return rank(h.wind, 0.7, 1.4, 2)
		})
	group("wind, m/s, by night", 3, func(k int) string { return []string{"< 0.7", "0.7–1.4", "> 1.4"}[k] },
		func(h compared) int {
			if light(h) {
				return -1
			}
			return rank(h.wind, 0.7, 1.4)
		})
	group("sun, W/m²", 6, func(k int) string { return []string{"< 5", "5–50", "50–150", "150–300", "300–450", "> 450"}[k] },
		func(h compared) int { return rank(h.global, 5, 50, 150, 300, 450) })
}

// rank is the number of bounds at or below x.
func rank(x float64, bounds ...float64) int {
	n := 0
	for _, b := range bounds {
		if x >= b {
			n++
		}
	}
	return n
}

// formula gives longwave from the sky for air, dew point in °C and cloud, 0–1.
type formula func(airC, dewC, cloud float64) float64

func theSky(airC, dewC, cloud float64) float64 { return sky.Longwave(airC, dewC, cloud) }

// The clear-sky formulas that it is held beside.
var clearFormulas = []struct {
	name string
	of   formula
}{
	{"Berdahl & Martin 1984, clear", func(t, d, _ float64) float64 {
		return sky.ClearEmissivityBerdahlMartin(d) * sky.BlackBody(t)
	}},
	{"Prata 1996, clear", func(t, d, _ float64) float64 {
		return sky.ClearEmissivityPrata(t, air.VapourPressure(d)) * sky.BlackBody(t)
	}},
	{"Brutsaert 1975, clear", func(t, d, _ float64) float64 {
		return 1.24 * math.Pow(air.VapourPressure(d)/100/(t+kelvin), 1.0/7) * sky.BlackBody(t)
	}},
}

func sunUp(elevation float64) bool   { return elevation > 0 }
func sunDown(elevation float64) bool { return elevation < -5 }

// skyHours are the hours in which keep holds for the sun's elevation throughout.
func skyHours(r *recorded, f formula, keep func(float64) bool) []compared {
	return skyHoursUnder(r, r.clouds(cloudHours), f, keep)
}

// skyHoursUnder are they under a cloud cover by the slot.
func skyHoursUnder(r *recorded, cloud []float64, f formula, keep func(float64) bool) []compared {
	var out []compared
	for h := range r.hours() {
		c, good := compared{reading: r.hour(h)}, true
		for i := h * PerHour; i < (h+1)*PerHour; i++ {
			x := r.measured[i]
			good = good && keep(r.sky.Elevation[i])
			c.modelled += f(x.airC, air.DewPoint(x.airC, x.rh), cloud[i]) / PerHour
			c.measured += x.down / PerHour
		}
		if good {
			out = append(out, c)
		}
	}
	return out
}

func skyPage(w *writer, t testing.TB) {
	meadow, snow := record(meadowReadings(t), meadowSite), record(snowReadings(t), snowSite)
	w.text(`
## Longwave from the sky

A meadow in Hesse (50.84 N 8.68 E, 30 June 2017, every five minutes; gisma
migration-fieldclim): a wet overcast night, broken cloud by day, a clear evening. And one
clear, very cold day of winter at 2317 m (SURFRAD Alamosa, 37.70 N 105.92 W, 1 January
2016, every ten minutes). Times are UTC. One formula serves both: Prata's clear sky,
closed by cloud. By day the cloud is what the clearness of the five hours around tells;
the snow night is taken as clear.`)
	all := func(float64) bool { return true }
	high := func(elevation float64) bool { return elevation > 0.3*180/math.Pi }
	w.head("W/m²")
	w.row("meadow, daylight hours", skyHours(meadow, theSky, sunUp), time.UTC)
	w.row("… with the sun above 0.3 rad", skyHours(meadow, theSky, high), time.UTC)
	w.row("… all hours, nights as clear", skyHours(meadow, theSky, all), time.UTC)
	for _, f := range clearFormulas {
		w.row("meadow, all hours: "+f.name, skyHours(meadow, f.of, all), time.UTC)
	}
	w.row("snow, night hours", skyHours(snow, theSky, sunDown), time.UTC)
	for _, f := range clearFormulas {
		w.row("snow, night hours: "+f.name, skyHours(snow, f.of, sunDown), time.UTC)
	}
	cloudPage(w, t, meadow)
	w.text(`
What remains wrong. Low sun tells the cloud badly: the meadow's evening was clear, but its
light came late over trees, and the model holds on to cloud that was not there (up to 20
W/m²). A night of cloud that nobody reports is 50 W/m² out, in any formula; a forecast's
cloud cover is what the program has there. On the snow night every published formula leaves
11.5 W/m² at ten minutes, for air and snow lay under an inversion that a reading at two
metres does not show.`)
}

// cloudPage tells how many hours' clearness is the sky's, and where that was chosen.
func cloudPage(w *writer, t testing.TB, meadow *recorded) {
	w.text(`
How many hours tell the cloud: a sunlight meter sees the beam through one gap, longwave
comes from the whole sky. The plate's strong hours under broken cloud gave the thought; the
number is the meadow's choice, another place and another quantity, and a test holds it to
that. The plate would have taken more.

| hours around | meadow, daylight, RMSE W/m² | plate, stated, RMSE K | plate fitted, days 4–6 unseen, RMSE K |
| --- | --- | --- | --- |`)
	for _, n := range cloudWidths {
		day := scored(skyHoursUnder(meadow, meadow.clouds(n), theSky, sunUp))
		all := scored(besidePlateUnder(plateReadings(t), n, plate()))
		_, fit := fitted(t, n)
		w.text("| %d | %.2f | %.2f | %.2f |", n, day.rmse, all.rmse, scored(fit[fitHours:]).rmse)
	}
}
