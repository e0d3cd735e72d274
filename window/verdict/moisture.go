package verdict

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
func (j *Judge) moisture(s *Series) {
	m, w := j.terms.Wood, &j.work
	if !m.Read || !j.class.DryOff.Given {
		return
	}
	if len(w.cols[colMoist]) != s.Len() {
		w.cols[colMoist] = make([]float32, s.Len())
	}
	out := w.cols[colMoist]
	holds, dewless := true, true
	for i := range out {
		out[i] = -far
		w.avail[i] |= 1 << colMoist
		if i < m.Slot {
			continue
		}
		since := float32(i-m.Slot) * SlotHours
		if holds {
			j.outrank(s, i, since, dewless)
		}
		holds = holds && s.KnownRain[i] && !s.Wets[i]
		dewless = dewless && s.KnownSurface[i] && s.Film[i] <= 1
	}
}

// outrank puts the reading in force in slot i, since hours after it was taken.
func (j *Judge) outrank(s *Series, i int, since float32, dewless bool) {
	w, m := &j.work, j.terms.Wood
	wait := j.dry.normal
	if m.Pct > dampWoodPct {
		if j.dry.hasHard {
			wait = j.dry.hard
		}
		w.avail[i] |= 1 << colDryOff
		if since < wait {
			w.cols[colMoist][i], w.cols[colDryOff][i] = m.Pct, far
		} else {
			w.cols[colDryOff][i] = min(w.cols[colDryOff][i], since)
		}
		return
	}
	if m.Pct > dryWoodPct && since >= wait {
		return
	}
	w.cols[colMoist][i] = m.Pct
	w.cols[colDryOff][i] = far
	w.avail[i] |= 1 << colDryOff
	if dewless && s.KnownSurface[i] {
		w.cols[colDewDry][i] = far
		w.avail[i] |= 1 << colDewDry
	}
}
