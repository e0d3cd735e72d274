package verdict

// wiping is what of a class and its person decides when water is off the panel.
type wiping struct {
	towel bool    // it is towelled off
	soaks bool    // bare wood: only the clock tells when it is dry
	need  float32 // spread, K, from which towelling helps
	most  float32 // film, g/m², that does no harm
}

// water is what lies on the panel for classes that wipe alike.
type water struct {
	wiping
	wet   []bool // water that no towel takes off
	maybe []bool // water may lie on it: nobody knows

	wets, may plane // the asked slots of either
}

// water follows what lies on the panel: it is towelled off once the spread is at
// least the class's default and has risen for 30 minutes, until new water comes.
// Water that only may lie there makes the slot unknown until then.
func (x *Sight) water(by wiping) *water {
	for i := range x.memo.waters {
		if w := &x.memo.waters[i]; w.wiping == by {
			return w
		}
	}
	s := x.series
	n := s.Len()
	block := x.mem.bools.take(2 * n)
	planes := x.mem.planes.take(2 * x.asked.words)
	w := water{
		wiping: by, wet: block[:n], maybe: block[n:], wets: planes[:x.asked.words], may: planes[x.asked.words:],
	}
	cleared := false
	flags, damp := x.lying()
	for _, k := range damp {
		i, f := int(k), flags[k]
		wet := f&lieKnown != 0 && s.Film[i] > by.most
		if f&lieFresh != 0 {
			cleared = false
		} else if !wet && f&(lieDoubt|lieFalls) == 0 {
			continue
		} else if by.towel && (wet || f&lieDoubt != 0) && s.Spread[i] >= by.need && x.rises(i) {
			cleared = true
		}
		bare := !cleared && !by.soaks
		w.wet[i] = f&lieFalls != 0 || wet && bare
		w.maybe[i] = f&lieDoubt != 0 && bare
		if at := x.asked.at[i]; at >= 0 {
			if w.wet[i] {
				w.wets[at/64] |= 1 << (at % 64)
			}
			if w.maybe[i] {
				w.may[at/64] |= 1 << (at % 64)
			}
		}
	}
	x.memo.waters = append(x.memo.waters, w)
	return &x.memo.waters[len(x.memo.waters)-1]
}

// What lies on a panel in a slot, whoever wipes it.
const (
	lieKnown uint8 = 1 << iota // its water is known
	lieFresh                   // water comes or may come: what was towelled off is back
	lieFalls                   // rain or drips fall on it
	lieDoubt                   // unseen water may lie on it
)

// lying marks what lies on the panel slot by slot, once for all who wipe it, and
// lists the slots in which it is not plainly dry.
func (x *Sight) lying() (flags []uint8, damp []int32) {
	if x.memo.lie != nil {
		return x.memo.lie, x.memo.damp
	}
	s := x.series
	x.memo.lie = x.mem.bytes.take(s.Len())
	x.memo.damp = x.mem.ints.take(s.Len())[:0]
	for i := range x.memo.lie {
		f := uint8(0)
		if s.KnownSurface[i] {
			f = lieKnown
		}
		if f == 0 || s.Wets[i] || s.Spread[i] < 0 {
			f |= lieFresh
		}
		if s.Wets[i] && !s.Fog[i] || s.Dripped != nil && s.Dripped[i] {
			f |= lieFalls
		}
		if s.Doubt != nil && s.Doubt[i] {
			f |= lieDoubt
		}
		x.memo.lie[i] = f
		if f != lieKnown || s.Film[i] > 0 {
			x.memo.damp = append(x.memo.damp, int32(i))
		}
	}
	return x.memo.lie, x.memo.damp
}

// rises reports whether the spread has risen for 30 minutes.
func (x *Sight) rises(i int) bool {
	s := x.series
	return i >= 3 && s.KnownSurface[i-3] && s.Spread[i] > s.Spread[i-3]
}
