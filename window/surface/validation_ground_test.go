package surface

import (
	"testing"
	"time"

	"dewgap/forecast/air"
)

// ground is a measured surface taken for a panel.
type ground struct {
	name    string
	panel   Panel
	sprayed bool
}

// Grass: emissivity 0.98, leaves of 2 kJ/m²K, 2 W/m²K to soil at 16.3 °C as it was
// measured. Winter ground: 20 mm of snow, 200 kg/m³ and 2100 J/kgK; what comes up
// from below was not measured. (Properties from memory.)
func meadowPanel(absorptance float64) Panel {
	return Panel{
		Absorptance: absorptance, Emissivity: 0.98, Capacity: 2000, Through: 2, Behind: Fixed, BackC: 16.3, HoldingGM2: 200,
	}
}

func snowPanel(absorptance, through float64) Panel {
	return Panel{
		Absorptance: absorptance, Emissivity: 0.98, Capacity: 0.02 * 200 * 2100, Through: through, LagH: 24,
	}
}

// absorbed is the share of the day's sunlight that was not thrown back.
func (r *recorded) absorbed() float64 {
	in, out := 0.0, 0.0
	for _, x := range r.measured {
		in, out = in+x.global, out+x.reflected
	}
	return 1 - out/in
}

// measuredSky puts the longwave that was measured in the place of the formula's.
func (r *recorded) measuredSky() *recorded {
	for i, x := range r.measured {
		r.weather.Longwave[i] = float32(x.down)
	}
	return r
}

// longwaveUp is the hours of longwave from a surface that is taken for a panel.
func (r *recorded) longwaveUp(g ground) []compared {
	track := r.run(g.panel, 0, g.sprayed)
	e := g.panel.Emissivity
	up := make([]float32, r.grid.N)
	for i, x := range r.measured {
		up[i] = float32(e*sigma*pow4(float64(track.Surface[i])+kelvin) + (1-e)*x.down)
	}
	var out []compared
	for h := range r.hours() {
		x := r.hour(h)
		out = append(out, compared{hourMean(up, h), x.up, x})
	}
	return out
}

func groundPage(w *writer, t testing.TB) {
	meadow, snow := record(meadowReadings(t), meadowSite).measuredSky(), record(snowReadings(t), snowSite).measuredSky()
	a, s := meadow.absorbed(), snow.absorbed()
	w.text(`
## Longwave from a surface

The same two days, with the sky as it was measured, so that only the balance of the
surface is on trial. Neither is a panel: grass lies between one that is dry and one that is
always wet, and winter ground brings up heat that nobody measured. Stated: what was not
thrown back of the day's sunlight is absorbed (meadow %.2f, winter %.2f), emissivity 0.98,
the meadow's soil at 16.3 °C behind 2 W/m²K of grass.`, a, s)
	w.head("W/m²")
	for _, g := range []ground{
		{"meadow as a dry panel", meadowPanel(a), false}, {"meadow as a wet panel", meadowPanel(a), true},
	} {
		hours := meadow.longwaveUp(g)
		w.row(g.name+", nights", pick(hours, dark), time.UTC)
		w.row("… days", pick(hours, light), time.UTC)
	}
	for _, g := range []ground{
		{"winter ground as an insulated panel", snowPanel(s, 0), false}, {"winter ground with 2.5 W/m²K to the day's mean air", snowPanel(s, 2.5), false},
	} {
		hours := snow.longwaveUp(g)
		w.row(g.name+", nights", pick(hours, dark), time.UTC)
		w.row("… days", pick(hours, light), time.UTC)
	}
	w.text(`
What it shows. At night the grass comes out within a kelvin (5 W/m² are 1 K). By day grass is
much nearer to the wet panel than to the dry one, as it should be; that the wet one is still
20 W/m² too warm says that blades in a wind of 1 m/s give off more heat than a plate. The
winter station's ground threw back only 0.19 of the sunlight, so it was no unbroken snow,
and it stores heat to a depth that a skin has not: the panel runs too cold at night and
too warm by day. It is no test of a boat, and stands here so that nobody takes it for one.`)
}

// dewHours counts in how many hours measurement and model agree whether dew falls:
// the surface below the dew point, by the longwave it gives off and by the balance.
func (r *recorded) dewHours(g ground) (both, neither, missed, invented int, film float32) {
	track := r.run(g.panel, 0, false)
	e := g.panel.Emissivity
	for h := range r.hours() {
		x := r.hour(h)
		if x.global >= 5 {
			continue
		}
		dew := air.DewPoint(x.airC, x.rh)
		seen := e*sigma*pow4(dew+kelvin)+(1-e)*x.down > x.up
		model := hourMean(track.Surface, h) < dew
		film = max(film, track.Film[(h+1)*PerHour-1])
		switch {
		case seen && model:
			both++
		case seen:
			missed++
		case model:
			invented++
		default:
			neither++
		}
	}
	return both, neither, missed, invented, film
}

func dewPage(w *writer, t testing.TB) {
	meadow, snow := record(meadowReadings(t), meadowSite).measuredSky(), record(snowReadings(t), snowSite).measuredSky()
	w.text(`
## Dew

No file has a dew gauge, but a surface whose own longwave says that it is colder than
the dew point must gather water. Night hours, sky as measured:

| | dew in both | in neither | only measured | only modelled | most film, g/m² |
| --- | --- | --- | --- | --- | --- |`)
	a, b, c, d, film := meadow.dewHours(ground{panel: meadowPanel(meadow.absorbed())})
	w.text("| meadow | %d | %d | %d | %d | %.0f |", a, b, c, d, film)
	a, b, c, d, film = snow.dewHours(ground{panel: snowPanel(snow.absorbed(), 2.5)})
	w.text("| winter ground | %d | %d | %d | %d | %.0f |", a, b, c, d, film)
	w.text(`
The roof plate has no humidity beside it and cannot tell. One meadow is little; what the
model's night cooling is worth stands with the roof plate above.`)
}
