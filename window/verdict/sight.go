package verdict

import "math"

// Past is what is known of a zone before the data begin.
type Past struct {
	Roofed   bool // no rain can have reached it before the data begin
	RainedAt int  // slot (may be negative) in which rain last arrived before the data, if PastKnown
	// PastKnown tells that the person said when it last rained or was washed, so
	// that the clock before the data is known.
	PastKnown bool
	WashedAt  int // slot in which the zone was last washed; math.MinInt32: never
	Now       int // slot up to which the person's word holds
}

// Sight is what all classes see alike of one member on one zone: the columns that
// their limits are held against, the clocks among them, and between which values
// each column moves in every chunk. It works out what is asked for when it is first
// asked, so it is for one goroutine at a time.
type Sight struct {
	series *Series
	asked  *Asked
	past   Past
	views  [columns]view // those that were asked for
	base   *Sight        // the member as it is, where this is how else it is met; nil: this one …
	own    uint32        // … and the columns that it has otherwise, a bit each
	avail  []uint32      // per slot: what is known of it, a bit each
	sure   []uint32      // per chunk: what is known of all its slots …
	surely uint32        // … of those of all chunks …
	all    uint32        // … and of all slots
	memo   *memo
	mem    *slabs
}

// view is one column as a judge meets it.
type view struct {
	v      []float32
	lo, hi []float32 // least and most by chunk …
	least  float32   // … and of all chunks
	most   float32
	past   *passes // where it is past the bounds that were asked for
	shared bool    // by the sights of all zones
	// blind marks the slots in which a clock was stopped by the end of what is
	// known: it counts there only for as long as the class asks. nil: nowhere.
	blind  []bool
	unseen plane // the asked ones of them
}

// memo is what a sight has worked out for classes that ask the same.
type memo struct {
	waters []water
	cures  []curing
	warmth []warmth
	lowest []lowest

	least    [columns]float32 // of the columns that hasLeast marks
	hasLeast [columns]bool
	blind    []int32 // see blindTo, once looked
	looked   bool
	lie      []uint8 // see lying; nil: not looked
	damp     []int32
}

func (m *memo) forget() {
	*m = memo{waters: m.waters[:0], cures: m.cures[:0], warmth: m.warmth[:0], lowest: m.lowest[:0]}
}

const (
	bitsAir     = 1<<colAir | 1<<colHumidity
	bitsWind    = 1<<colWind | 1<<colGust | 1<<colHeight | 1<<colDustWind | 1<<colDustGust
	bitsSurface = 1<<colSurface | 1<<colSpread | 1<<colSunlight | 1<<colSection
	bitsUV      = 1 << colUV
	bitRain     = 1 << columns
	// bitsAlways are what a slot cannot do without, whatever the class.
	bitsAlways uint32 = bitsAir | 1<<colSurface | bitRain
)

// far stands for "longer than any clock".
const far = float32(1e6)

// never is a slot before all slots.
const never = math.MinInt32

// NewSight looks at one member of a zone.
func NewSight(s *Series, p Past, a *Asked) *Sight {
	x := &Sight{}
	x.Look(s, p, a)
	return x
}

// Look turns a sight to another member, or to another zone, and takes for it the
// memory of what it saw before: nothing of that may be used any more, nor of what
// was made of it.
func (x *Sight) Look(s *Series, p Past, a *Asked) {
	mem, m := x.mem, x.memo
	if mem == nil {
		mem, m = &slabs{}, &memo{}
	}
	mem.reset()
	m.forget()
	*x = Sight{series: s, asked: a, past: p, mem: mem, memo: m}
	s.Prepare(a)
	x.know()
}

// view gives a column, which is worked out when it is first asked for.
func (x *Sight) view(c column) *view {
	if x.base != nil && x.own&(1<<c) == 0 {
		return x.base.view(c)
	}
	v, s := &x.views[c], x.series
	if v.v != nil {
		return v
	}
	switch c {
	case colSurface:
		*v = x.look(s.Surface, nil)
	case colSpread:
		*v = x.look(s.Spread, nil)
	case colSunlight:
		*v = x.look(s.Sunlight, nil)
	case colUV:
		*v = x.look(s.UV, nil)
	case colSection:
		*v = x.look(s.Section, nil)
	case colDryOff:
		*v = x.drying(x.past)
	case colDewDry:
		*v = x.dewDrying()
	case colRainFree:
		*v = x.until(s.Wets, s.KnownRain, plainHours)
	case colRainSure:
		*v = x.until(s.Shifted, s.KnownRain, plainHours)
	case colDewFree:
		*v = x.until(x.damp(), s.KnownSurface, plainHours)
	default:
		return &s.views[c]
	}
	return v
}

// Towelled is the same member where the dew is towelled off: the work meets the
// surface, °C, and the spread, K, of the bare panel.
func (x *Sight) Towelled(surface, spread []float32) *Sight {
	s := *x.series
	s.Surface, s.Spread = surface, spread
	t := x.otherwise(&s, 1<<colSurface|1<<colSpread|1<<colDewFree)
	t.memo = &memo{}
	return t
}

// Washed is the same member with the sections, m², that a class may wash.
func (x *Sight) Washed(section []float32) *Sight {
	s := *x.series
	s.Section = section
	return x.otherwise(&s, 1<<colSection)
}

// otherwise is the same member met in another way, which has these columns of its own.
func (x *Sight) otherwise(s *Series, own uint32) *Sight {
	return &Sight{
		series: s, asked: x.asked, past: x.past, base: x, own: own,
		avail: x.avail, sure: x.sure, surely: x.surely, all: x.all, memo: x.memo, mem: x.mem,
	}
}

// know notes what is known slot by slot.
func (x *Sight) know() {
	s := x.series
	x.avail, x.all = x.mem.words.take(s.Len()), ^uint32(0)
	for i, f := range s.avail {
		if s.KnownSurface[i] {
			f |= bitsSurface
		}
		x.avail[i] = f
		x.all &= f
	}
	x.sure, x.surely = x.mem.words.take(len(x.asked.chunks)), ^uint32(0)
	for k, c := range x.asked.chunks {
		all := ^uint32(0)
		for _, a := range x.avail[c.from:c.to] {
			all &= a
		}
		x.sure[k] = all
		x.surely &= all
	}
}

// look finds between which values a column moves in every chunk.
func (x *Sight) look(v []float32, blind []bool) view { return x.asked.look(v, blind, x.mem) }
