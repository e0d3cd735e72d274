package window

import (
	"dewgap/window/boat"
	"dewgap/window/surface"
)

// dusty is a member's wind and gusts, m/s at the work, in the slots in which they come
// from where the dust is; 0 in the others.
type dusty struct{ wind, gust []float32 }

// dust works out which slots' wind brings dust. Where nobody knows whence it blows it
// may.
func (e *evaluation) dust() {
	p := e.Job.Place
	if !p.HasDust {
		return
	}
	sector := boat.Sector{From: p.DustFrom, To: p.DustTo}
	hours := make([]bool, e.grid.N)
	for i := range hours {
		hours[i] = e.Job.DustHours(e.grid.At(i))
	}
	e.dusty = make([]dusty, len(e.members))
	for m, w := range e.weather {
		d := dusty{make([]float32, e.grid.N), make([]float32, e.grid.N)}
		for i := range e.grid.N {
			if from := float64(w.From[i]); hours[i] && (from < 0 || sector.Contains(from)) {
				d.wind[i], d.gust[i] = w.Wind[i], w.Gust[i]
			}
		}
		e.dusty[m] = d
	}
}

// warnOfBearings says that the forecast tells nothing of where its wind comes from,
// where the job has winds that bring salt or dust.
func (e *evaluation) warnOfBearings() {
	p := &e.Job.Place
	dusty := p.HasDust && boat.Sector{From: p.DustFrom, To: p.DustTo}.Span() < 360
	if !dusty && !saltyWinds(p) {
		return
	}
	w := e.weather[0]
	for i := e.result.From; i < e.result.To; i++ {
		if w.Flags[i]&surface.KnownWind != 0 && w.From[i] < 0 {
			text := "the forecast does not say throughout where its wind comes from:"
			if saltyWinds(p) {
				text += " salt that it brings then is not reckoned with;"
			}
			if dusty {
				text += " dust is, in any wind;"
			}
			e.result.Warnings = append(e.result.Warnings, text[:len(text)-1])
			return
		}
	}
}
