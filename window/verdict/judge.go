package verdict

import (
	"math"

	"dewgap/products"
)

// SlotHours is the length of a slot in hours.
const SlotHours = 1.0 / 6

// Series is one zone of one member, slot by slot, as the judge reads it. All
// slices have the same length. Where a Known slice is false the numbers are
// not to be read.
type Series struct {
	*Outdoors
	Surface, Spread, Film []float32 // °C, K, g/m²
	Sunlight, UV          []float32 // W/m², index, on the panel's plane
	Section               []float32 // m² that one wash section may have
	Wets                  []bool    // water arrives from above
	Doubt                 []bool    // unseen water may lie on it; nil where none
	Dripped               []bool    // an overhang above still drips; nil where none
	Hangs                 []bool    // water reaches it from above alone; nil where nothing lies there
	Shifted               []bool    // rain may have come by now: timing doubt; nil where none
	SaltFalls             []bool    // salt comes over; nil where it never does
	SaltLies              []bool    // and lies since, if nobody washes it off

	// KnownSurface implies KnownAir and KnownRain: the surface hangs on both.
	KnownSurface []bool
}

// Len is the number of slots.
func (s *Series) Len() int { return len(s.Surface) }

// SaltRule tells which of the salt to come a verdict minds.
type SaltRule uint8

// The rules of salt.
const (
	SaltWashed SaltRule = iota // none: the work is a wash
	SaltFalls                  // a wash comes before: what comes over while it comes, and until it is washed again and dry
	SaltLies                   // no wash comes before: all of it, from the first on
)

// Terms are what, beside the class, a verdict on one zone depends on.
type Terms struct {
	Fixed   []Limit // per slot: the yes/no limit that the plan of the day sets, None where none
	Towel   bool    // dew may be towelled
	Soaks   bool    // bare wood: only the clock tells when it is dry
	Height  bool    // worked from a ladder or in a harness: gusts at height count
	GustMax float64 // m/s at height
	Section float64 // least wash section, m²; 0: not asked
	Wood    WoodReading
	Salt    SaltRule
	Dust    bool // wind may bring dust: the series have it
	// LightMin is the sunlight on the panel, W/m², that the work cannot do without,
	// as an inspection without a lamp; 0: none.
	LightMin float64
}

// Result is one member's verdict on one slot.
type Result struct {
	State State
	Limit Limit
	Way   Way
	Value float32 // of the binding limit, in its unit
	Bound float32 // the bound that it passed, or the nearest one
	Past  float32 // how far past the bound, in the width of its band; for ideal, minus the room left
}

// column picks a measured limit's values.
type column uint8

const (
	colAir column = iota
	colSurface
	colHumidity
	colSpread
	colWind
	colGust
	colSunlight
	colUV
	colHeight
	colSection
	colDustWind
	colDustGust
	colDryOff
	colDewDry
	colRainFree
	colRainSure
	colDewFree
	colMoist
	columns
)

// clock reports whether a column holds hours, which may be blind.
func (c column) clock() bool { return c >= colDryOff && c <= colMoist }

// ahead reports whether a clock counts forward, so that where it is blind it may
// run for any time longer than it says.
func (c column) ahead() bool { return c >= colRainFree && c <= colDewFree }

// bound is one side of one limit, with sign +1 for a most and −1 for a least:
// value·sign above bound·sign is outside.
type bound struct {
	limit            Limit
	col              column
	sign             float32
	ideal, normal    float32
	hard             float32
	hasHard          bool
	coolSun          bool
	width, hardWidth float32 // of the bands ideal→default and default→hard
	code             uint8   // of the bound on a board, for its first state
}

// Judge holds one class against the slots of a zone.
type Judge struct {
	class   products.Class
	terms   Terms
	bounds  []bound
	coolMax float32 // surface temperature up to which cool sun does not count
	rain    clock
	dew     clock
	dry     clock
	dewDry  clock

	stated []bound    // the bounds without the timing doubt of a bare probability
	stood  bound      // the clock to the rain as stated, which that doubt is held beside
	kinds  *[256]kind // what its verdicts on a board mean
	needed uint32     // what must be known of a slot, a bit each

	// Of the slots that are asked for.
	asked     *Asked
	shut      plane   // those that the plan of the day shuts …
	shutCodes []uint8 // … by place, with the verdict on them; the others are to be written over

	// Of the sight at hand.
	sight  *Sight
	series *Series
	active []bound        // the bounds that it is held against
	views  [columns]*view // their columns
	reach  []reach        // those that any asked slot is past
	water  *water         // nil where water does no harm
	curing *curing        // nil where nothing has to cure
	blind  []int32        // slots so far in which the surface is not known; nil where it always is
	own    [3]view        // columns that a moisture reading changes
	span   int            // slots for which the film cures
	salt   []bool         // slots in which salt lies on it; nil where none
	planes []plane        // scratch of refusals

	scratch slab[uint64] // of planes that last for one run
}

type clock struct {
	given               bool
	ideal, normal, hard float32
	hasHard             bool
}

// unitWidth stands in where two bands coincide or are open: 1 K, 10 %, 1 m/s,
// 100 W/m², 1 of the UV index, 1 h.
func unitWidth(c column) float32 {
	switch c {
	case colHumidity:
		return 10
	case colSunlight:
		return 100
	default:
		return 1
	}
}

// NewJudge prepares a class for one zone.
func NewJudge(c products.Class, t Terms) *Judge {
	j := &Judge{class: c, terms: t, coolMax: float32(math.Inf(1))}
	if c.SurfaceC.Given && c.SurfaceC.Ideal.HasMax {
		j.coolMax = float32(c.SurfaceC.Ideal.Max)
	}
	j.both(c.AirC, AirMin, AirMax, colAir)
	j.both(c.SurfaceC, SurfaceMin, SurfaceMax, colSurface)
	j.both(c.HumidityPct, HumidityMin, HumidityMax, colHumidity)
	j.side(c.SpreadK, SpreadMin, colSpread, -1)
	j.side(c.WindMS, WindMax, colWind, 1)
	j.side(c.GustMS, GustMax, colGust, 1)
	if t.Dust {
		j.side(lower(c.WindMS), DustWind, colDustWind, 1)
		j.side(lower(c.GustMS), DustGust, colDustGust, 1)
	}
	j.side(c.SunlightWM2, SunlightMax, colSunlight, 1)
	j.side(c.UVIndex, UVMax, colUV, 1)
	j.clocks(c)
	j.moist()
	if t.Height {
		g := float32(t.GustMax)
		j.add(bound{limit: Access, col: colHeight, sign: 1, ideal: g, normal: g, hard: g, hasHard: true})
	}
	if t.Section > 0 {
		a := float32(t.Section)
		j.add(bound{limit: Section, col: colSection, sign: -1, ideal: a, normal: a, hard: a, hasHard: true})
	}
	j.span = int(math.Ceil(float64(max(j.rain.normal, j.dew.normal)) / SlotHours))
	j.needed = bitsAlways
	for k := range j.bounds {
		j.bounds[k].code = uint8(k * codeStates)
	}
	j.kinds = kindsOf(j.bounds, float32(c.FilmMaxGM2))
	for _, b := range j.bounds {
		if b.col != colRainSure {
			j.stated = append(j.stated, b)
		}
		if !b.col.clock() {
			j.needed |= 1 << b.col
		}
	}
	return j
}

// lower is a limit of the wind with dust upwind, one class lower: the usual bound is
// the hard one, the ideal one the usual, and half of it the ideal (common practice, no
// source).
func lower(l products.Limit) products.Limit {
	out := products.Limit{Given: l.Given, Hard: l.Default, Default: l.Ideal}
	if l.Ideal.HasMax {
		out.Ideal = products.Band{Max: l.Ideal.Max / 2, HasMax: true}
	}
	return out
}

func (j *Judge) clocks(c products.Class) {
	j.dry = newClock(c.DryOff)
	j.rain = newClock(c.RainFree)
	j.dew = newClock(c.DewFree)
	j.least(DryOff, colDryOff, j.dry)
	j.least(RainFree, colRainFree, j.rain)
	if j.rain.given { // a bare probability's timing doubt touches ideal and go only
		j.least(RainFree, colRainSure, j.rain)
		j.bounds[len(j.bounds)-1].hasHard = false
		j.stood = j.bounds[len(j.bounds)-2]
	}
	j.least(DewFree, colDewFree, j.dew)
	if j.towelling() {
		return
	}
	j.dewDry = newClock(c.DewDryOff)
	if !j.dewDry.given && c.DryOff.Given && !j.terms.Towel {
		j.dewDry = j.dry // the person does not towel: dew is water like rain
	}
	j.least(DryOff, colDewDry, j.dewDry)
}

// towelling reports whether dew may be taken off by towel for this class.
func (j *Judge) towelling() bool { return j.terms.Towel && j.class.Towel }

func newClock(c products.Clock) clock {
	return clock{
		given: c.Given, ideal: float32(max(c.Ideal, c.Default)), normal: float32(c.Default),
		hard: float32(c.Hard), hasHard: c.HasHard,
	}
}

func (j *Judge) least(l Limit, c column, k clock) {
	if !k.given {
		return
	}
	j.add(bound{limit: l, col: c, sign: -1, ideal: k.ideal, normal: k.normal, hard: k.hard, hasHard: k.hasHard})
}

func (j *Judge) both(l products.Limit, least, most Limit, c column) {
	j.side(l, least, c, -1)
	j.side(l, most, c, 1)
}

// side adds one side of a limit, if the class gives it. A band that is open on
// this side takes the next wider one's bound.
func (j *Judge) side(l products.Limit, name Limit, c column, sign float32) {
	if !l.Given {
		return
	}
	inf := float32(math.Inf(int(sign)))
	pick := func(b products.Band) (float32, bool) {
		if sign < 0 {
			return float32(b.Min), b.HasMin
		}
		return float32(b.Max), b.HasMax
	}
	hard, okHard := pick(l.Hard)
	normal, okNormal := pick(l.Default)
	ideal, okIdeal := pick(l.Ideal)
	if !okHard && !okNormal && !okIdeal {
		return
	}
	if !okNormal {
		normal = inf
		if okHard {
			normal = hard
		}
	}
	if !okIdeal {
		ideal = normal
	}
	j.add(bound{limit: name, col: c, sign: sign, ideal: ideal, normal: normal, hard: hard, hasHard: okHard})
}

func (j *Judge) add(b bound) {
	u := unitWidth(b.col)
	b.coolSun = j.class.CoolSun && (b.limit == SunlightMax || b.limit == UVMax)
	if b.coolSun {
		b.hasHard = false // never blocks alone
	}
	b.width, b.hardWidth = (b.normal-b.ideal)*b.sign, (b.hard-b.normal)*b.sign
	if !(b.width > 0) || math.IsInf(float64(b.width), 0) {
		b.width = u
	}
	if !b.hasHard || !(b.hardWidth > 0) || math.IsInf(float64(b.hardWidth), 0) {
		b.hardWidth = u
	}
	j.bounds = append(j.bounds, b)
}
