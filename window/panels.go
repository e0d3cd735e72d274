package window

import (
	"slices"
	"time"

	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// build is what a skin is made of, thermally.
type build struct {
	capacity float64 // J/m²K
	through  float64 // W/m²K to the air behind
	wet      float64 // W/m²K to a liquid behind
	twoSided bool
}

// builds by skin. Laminate: 1600 kg/m³, 1200 J/kgK, 0.25 W/mK (hand-laid glass
// and polyester, from memory); core: 20 mm of PVC foam at 0.035 W/mK (CIBSE
// Guide A); inner air film 0.13 m²K/W (ISO 6946); liquid film 0.005. Teak 650
// kg/m³, 2000 J/kgK. A keel answers with half a day at 15 W/m²K.
var builds = [...]build{
	boat.Cored: {capacity: 0.003 * laminate, through: 1 / (0.02/0.035 + 0.13), wet: 1 / (0.02/0.035 + 0.005)},
	boat.Solid: {capacity: 0.010 * laminate, through: 1 / (0.010/0.25 + 0.13), wet: 1 / (0.010/0.25 + 0.005)},
	boat.Thick: {capacity: 0.020 * laminate, through: 1 / (0.020/0.25 + 0.13), wet: 1 / (0.020/0.25 + 0.005)},
	boat.Plate: {capacity: 4000, twoSided: true},
	boat.Plank: {capacity: 0.015 * 650 * 2000, through: 1 / (0.015/0.17 + 0.13), wet: 1 / (0.015/0.17 + 0.005)},
	boat.Keel:  {capacity: 12 * 3600 * 15},
	boat.Tube:  {capacity: tubeFabric, through: throughTube, wet: throughTube},
}

const laminate = 1600.0 * 1200 // J/m³K

// A tube's fabric weighs 1.3 kg/m² at 1400 J/kgK. Its heat goes through the air inside to
// the far half of the tube, twice by 0.13 m²K/W, and from there to the air outside by 0.07
// (from memory). Inside it is as still where water lies under the far half.
const (
	tubeFabric  = 1.3 * 1400               // J/m²K
	throughTube = 1 / (0.13 + 0.13 + 0.07) // W/m²K
)

// Temperatures and lags behind a skin (common practice, no source).
const (
	cabinLagH  = 4.0
	engineLagH = 12.0
	tankLagH   = 24.0
	cooledC    = 23.0
	heatedC    = 18.0
)

// panelOf turns a zone into the panel that the balance is made for.
func panelOf(z boat.Zone, j *job.Job, waterC float64) surface.Panel {
	b := builds[z.Skin]
	p := surface.Panel{
		Tilt: z.Tilt, Absorptance: z.Finish.Absorptance, Emissivity: z.Finish.Emissivity,
		Capacity: b.capacity, Through: b.through, TwoSided: b.twoSided,
		HoldingGM2: z.Finish.Holding(z.Tilt),
	}
	switch {
	case followsWater(z) && j.Afloat:
		b = atWaterline(z.Skin)
		p.Capacity, p.TwoSided = b.capacity, false
		p.Behind, p.BackC, p.Through = surface.Fixed, waterC, b.wet
	case z.Behind == boat.Tank:
		p.LagH, p.Through = tankLagH, b.wet
	case z.Behind == boat.Engine:
		p.LagH = engineLagH
	case z.Behind == boat.Outside:
		p.LagH = 0.1
	case j.Inside == "cooled":
		p.Behind, p.BackC = surface.Fixed, cooledC
	case j.Inside == "heated":
		p.Behind, p.BackC = surface.Fixed, heatedC
	default:
		p.LagH = cabinLagH
	}
	return p
}

// atWaterline is how a hull is built where it meets the water: a cored side ends
// above it in solid laminate, for water would creep into a core there (common
// practice, no source), and metal has the water's own film behind it.
func atWaterline(s boat.Skin) build {
	switch s {
	case boat.Cored:
		return builds[boat.Solid]
	case boat.Plate:
		return build{capacity: builds[s].capacity, wet: 1 / 0.005}
	}
	return builds[s]
}

func followsWater(z boat.Zone) bool { return z.NearWater || z.Behind == boat.WaterBehind }

// exposed tells how a zone meets sun, sky, wind and rain through time.
func (e *evaluation) exposed(z boat.Zone) surface.Exposed {
	facing := make([]float64, e.grid.N)
	roofs, shares := make([]surface.Roof, e.grid.N), make([]float64, e.grid.N)
	for i := range e.grid.N {
		t := e.grid.Middle(i)
		facing[i] = e.Job.Facing(z, t)
		roofs[i], shares[i] = roofAt(e.Job, &z, t)
	}
	return surface.Exposed{
		Tilt: z.Tilt, Facing: func(i int) float64 { return facing[i] },
		Cover:  func(i int) (surface.Roof, float64) { return roofs[i], shares[i] },
		Spray:  func(i int) bool { return e.Job.Sprinkled(e.grid.At(i)) },
		RunOff: e.runOff(z), Shades: e.shades(z), AtWork: e.Job.Place.Wind == job.WindAtWork,
		Driven: surface.Driven{AllRound: len(z.OpenSide) == 0 && !e.enclosed(z), Open: z.OpenSide},
	}
}

// enclosed reports whether what stands over a zone, or is put up over it, has
// walls: a shed, or a tent.
func (e *evaluation) enclosed(z boat.Zone) bool {
	return z.Shelter == boat.Shed || slices.ContainsFunc(e.Job.Covers, func(c job.Cover) bool {
		return (c.Tent || c.Kind == boat.Shed) && slices.Contains(c.Zones, z.Name)
	})
}

// roofAt is what stands over a zone at t, its own roof or a cover that is up,
// and the share of the upper view that it takes.
func roofAt(j *job.Job, z *boat.Zone, t time.Time) (surface.Roof, float64) {
	shelter, share := z.Shelter, z.RoofView
	if share == 0 {
		share = shelter.RoofView()
	}
	for _, c := range j.Covers {
		if c.UpAt(t) && slices.Contains(c.Zones, z.Name) && c.Kind > shelter {
			shelter, share = c.Kind, max(share, c.Kind.RoofView())
		}
	}
	return roofOf(shelter), share
}

func roofOf(s boat.Shelter) surface.Roof {
	switch s {
	case boat.Hardtop:
		return surface.Hardtop
	case boat.Canvas:
		return surface.Sheet
	case boat.Shed:
		return surface.ShedRoof
	default:
		return surface.NoRoof
	}
}

// shades turns the zone's sectors into true bearings by slot; the boat's own
// structure turns with the bow.
func (e *evaluation) shades(z boat.Zone) []surface.Shade {
	var out []surface.Shade
	for _, s := range z.Shade {
		to := e.grid.N
		if s.HasUntil {
			to = e.grid.Index(s.Until)
		}
		if !s.Relative {
			out = append(out, surface.Shade{From: s.From, Span: s.Span(), UpTo: s.UpTo, ToSlot: to})
			continue
		}
		for _, b := range e.bows(to) {
			turned := s.True(b.bow)
			out = append(out, surface.Shade{
				From: turned.From, Span: turned.Span(), UpTo: s.UpTo, FromSlot: b.from, ToSlot: b.to,
			})
		}
	}
	return out
}

type bowSpell struct {
	bow      float64
	from, to int
}

// bows cuts the slots up to a bound into spells of one heading. A bow that
// nobody knows is taken as north, as Facing does.
func (e *evaluation) bows(to int) []bowSpell {
	var out []bowSpell
	for i := range to {
		bow, _ := e.Job.BowAt(e.grid.Middle(i))
		if n := len(out); n > 0 && out[n-1].bow == bow {
			out[n-1].to = i + 1
			continue
		}
		out = append(out, bowSpell{bow: bow, from: i, to: i + 1})
	}
	return out
}

// local is the moment at the start of slot i by the place's clock.
func (e *evaluation) local(i int) time.Time { return e.grid.At(i).In(e.Location) }
