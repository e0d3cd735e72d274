// Package surface computes the temperature of a zone's skin, the water on it,
// and the sunlight and UV that fall on it, through time: one transient energy
// balance per zone and member, at ten-minute slots from the forecast's own
// steps.
//
// The balance of a panel of heat capacity C (J/m²K) at temperature T is
//
//	C dT/dt = αG + ε(L − σT⁴) + h(Ta − T) + U(Tb − T) − λE
//
// with sunlight G on its plane, longwave L from sky and surroundings by view
// factor, mixed convection h, conduction U to what lies behind at Tb, and the
// heat of evaporation λE of the water film (Lewis relation; negative while dew
// forms). It is stepped implicitly (backward Euler, Newton), which is stable
// at any slot length. A plate exposed on both faces exchanges with the air and
// the surroundings behind as well.
//
// Left out: reflections between zones, rain's own heat, the heat of people and
// lights, and conduction along the skin.
package surface

import "time"

// SlotMinutes is the length of a slot.
const SlotMinutes = 10

// Slot is the length of a slot.
const Slot = SlotMinutes * time.Minute

// PerHour is the number of slots in an hour.
const PerHour = 60 / SlotMinutes

// Grid is a row of slots: slot i is [Start+i·Slot, Start+(i+1)·Slot), UTC.
type Grid struct {
	Start time.Time // UTC, on a whole slot
	N     int       // slots, ≥ 0
}

// NewGrid makes the grid that covers [from, to), widened to whole slots.
func NewGrid(from, to time.Time) Grid {
	start := from.UTC().Truncate(Slot)
	if !to.After(start) {
		return Grid{Start: start}
	}
	n := int((to.Sub(start) + Slot - 1) / Slot)
	return Grid{Start: start, N: n}
}

// At is the beginning of slot i.
func (g Grid) At(i int) time.Time { return g.Start.Add(time.Duration(i) * Slot) }

// Middle is the middle of slot i.
func (g Grid) Middle(i int) time.Time { return g.At(i).Add(Slot / 2) }

// End is the end of the last slot.
func (g Grid) End() time.Time { return g.At(g.N) }

// Index is the slot that holds t, or the nearest valid bound: 0 before the
// grid, N at or after its end.
func (g Grid) Index(t time.Time) int {
	if t.Before(g.Start) {
		return 0
	}
	return min(int(t.Sub(g.Start)/Slot), g.N)
}
