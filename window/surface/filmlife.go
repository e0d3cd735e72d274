package surface

// foreverMinutes stands for a film that does not dry by itself.
const foreverMinutes = 24 * 60.0

// FilmLife fills out with the minutes, at most a day, that a wash film of
// filmGM2 lies in each slot before it has evaporated: the film over its flux at
// the temperature at which the wet panel would settle. Where the surface is not
// known, or not asked about, the life is 0.
func FilmLife(out []float32, asked []bool, filmGM2 float64, p Panel, x *Exposure, w *Weather, t *Track, m Model) {
	b := newBalance(p, m, stepS)
	b.through = 0
	b.capacity = 0
	minutesKg := filmGM2 / 1000 / 60 // over kg/m²s: minutes
	for i := range out {
		if !asked[i] || w.Flags[i]&KnownSurface == 0 {
			out[i] = 0
			continue
		}
		b.load(i, x, w, float64(t.Sunlight[i]), false)
		if b.temp == 0 { // the panel settles near where it did in the slot before
			b.temp = b.ta
		}
		minutes := foreverMinutes
		if flux := b.settleWet(); flux > 0 {
			minutes = min(minutesKg/flux, foreverMinutes)
		}
		out[i] = float32(minutes)
	}
}
