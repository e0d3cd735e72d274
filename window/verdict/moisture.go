package verdict

import "slices"

// WoodReading is what a meter showed in the wood of a zone. It outranks the clock
// that would have guessed it, until water next arrives.
type WoodReading struct {
	Read bool
	Slot int
	Pct  float32 // of the wood's dry weight
}

// Wood may be sealed and oiled up to dryWoodPct, and must not be beyond
// dampWoodPct (common practice: meters at 15 to 18 %).
const (
	dryWoodPct  = 16
	dampWoodPct = 18
)

// moist adds the bound that a moisture reading is held against.
func (j *Judge) moist() {
	if !j.terms.Wood.Read || !j.class.DryOff.Given {
		return
	}
	j.add(bound{limit: Moisture, col: colMoist, sign: 1, ideal: dryWoodPct, normal: dryWoodPct, hard: dampWoodPct, hasHard: true})
}

// moisture lets the reading take the place of the drying clocks. Dry wood is dry
// until water next arrives. Damp wood waits for the class's own drying time,
// counted from the reading, which is when it was known to be damp: its default
// hours for marginal wood, its hard hours for wood that is no-go; the clock
// decides from there.
func (j *Judge) moisture() {
	m, s := j.terms.Wood, j.series
	if !m.Read || !j.class.DryOff.Given {
		return
	}
	x := j.sight
	w := wooden{
		dryOff: x.view(colDryOff).copy(), dewDry: x.view(colDewDry).copy(), moist: view{v: make([]float32, s.Len())},
	}
	holds, dewless := true, true
	for i := range w.moist.v {
		w.moist.v[i] = -far
		if i < m.Slot {
			continue
		}
		if holds {
			j.outrank(&w, i, float32(i-m.Slot)*SlotHours, dewless)
		}
		holds = holds && s.KnownRain[i] && !s.Wets[i]
		dewless = dewless && s.KnownSurface[i] && s.Film[i] <= 1
	}
	j.own = [3]view{x.look(w.dryOff.v, w.dryOff.blind), x.look(w.dewDry.v, w.dewDry.blind), x.look(w.moist.v, nil)}
	j.views[colDryOff], j.views[colDewDry], j.views[colMoist] = &j.own[0], &j.own[1], &j.own[2]
}

// wooden are the columns that a reading changes.
type wooden struct{ dryOff, dewDry, moist view }

func (v *view) copy() view { return view{v: slices.Clone(v.v), blind: slices.Clone(v.blind)} }

// tell puts a clock that is known in the place of one that was guessed.
func (v *view) tell(i int, hours float32) { v.v[i], v.blind[i] = hours, false }

// outrank puts the reading in force in slot i, since hours after it was taken.
func (j *Judge) outrank(w *wooden, i int, since float32, dewless bool) {
	m := j.terms.Wood
	wait := j.dry.normal
	if m.Pct > dampWoodPct {
		if j.dry.hasHard {
			wait = j.dry.hard
		}
		if since < wait {
			w.moist.v[i] = m.Pct
			w.dryOff.tell(i, far)
		} else {
			w.dryOff.tell(i, min(w.dryOff.v[i], since))
		}
		return
	}
	if m.Pct > dryWoodPct && since >= wait {
		return
	}
	w.moist.v[i] = m.Pct
	w.dryOff.tell(i, far)
	if dewless && j.series.KnownSurface[i] {
		w.dewDry.tell(i, far)
	}
}
