package answer

import (
	"slices"

	"dewgap/window/boat"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// NewWeek makes the answer of dewgap week.
func NewWeek(f Facts) *Week {
	b := newBuilder(f)
	w := &Week{
		Format: WeekFormat, Job: b.Job.Name, Boat: b.Job.Boat, Now: b.moment(b.Now),
		Place: b.place(), Source: b.source(), SlotMin: surface.SlotMinutes,
		From: b.at(b.Result.From), To: b.at(b.Result.To),
		Zones: b.zones(), Windows: b.windows(), Refusals: b.refusals(),
		Ladder:   []Rung{},
		Cautions: b.cautions(b.Result.From, b.Result.To), Warnings: b.warnings(), Own: b.ownLimits(), Scene: b.scene(),
		Done: b.allDone(), KeepDry: b.keepDry(), Lasts: b.lasts(), Crew: b.Crew,
	}
	w.TakePlan(f, NewPlan(f, f.Planned))
	return w
}

// Steps of rounding in the JSON answer.
const (
	cent  = 0.01
	tenth = 0.1
)

func (b *builder) zones() []Zone {
	out := make([]Zone, len(b.Job.Zones))
	for i, z := range b.Job.Zones {
		out[i] = Zone{
			Name: z.Name, Faces: b.faces(z), Tilt: round(z.Tilt, tenth), Finish: z.Finish.Name,
			Shelter: z.Shelter.String(), Hours: b.zoneHours(i),
		}
		if z.AreaM2 > 0 {
			out[i].AreaM2 = some(z.AreaM2, tenth)
		}
	}
	return out
}

// levelTilt is the tilt in degrees below which a facing has no meaning.
const levelTilt = 5

func (b *builder) faces(z boat.Zone) *float64 {
	if _, known := b.Job.BowAt(b.at(b.Result.From)); z.Tilt < levelTilt || (!known && !z.FacesTrue) {
		return nil
	}
	return some(b.Job.Facing(z, b.at(b.Result.From)), tenth)
}

// zoneHours are none of a zone that was left out.
func (b *builder) zoneHours(zone int) []Hour {
	hours := b.Result.Zones[zone].Hours
	out := make([]Hour, len(hours))
	for h, z := range hours {
		w := b.Result.Weather[h]
		out[h] = Hour{
			At: w.At.In(b.loc), AirC: number(w.Air, cent), DewPointC: number(w.Dew, cent),
			HumidityPct: number(w.Humidity, tenth), WindMS: number(w.Wind, cent), GustMS: number(w.Gust, cent),
			RainMM: number(w.Rain, cent), CloudPct: number(percent(w.Cloud), tenth),
			SunElevation: some(w.SunElevation, cent), SunAzimuth: some(w.SunAzimuth, cent),
			SunlightWM2: number(z.Sunlight, tenth), SurfaceC: number(z.Surface, cent),
			SpreadK: number(z.Spread, cent), FilmGM2: number(z.Film, tenth), UVIndex: number(z.UV, cent),
		}
	}
	return out
}

// windows lists the windows step by step, within a step in the order of rank.
func (b *builder) windows() []Window {
	out := []Window{}
	for _, refs := range b.Result.Ranked {
		for _, ref := range refs {
			out = append(out, b.window(ref))
		}
	}
	return out
}

// refusals lists the refusals step by step, within a step zone by zone.
func (b *builder) refusals() []Refusal {
	out := []Refusal{}
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		s := b.step(r)
		for _, run := range r.Refusals {
			x := Refusal{
				Step: s.Name, Do: s.Do, Product: r.Class.ID, Zone: b.zone(r), From: b.at(run.From), To: b.at(run.To),
				State: run.State.String(), Binding: b.binding(r, run),
			}
			if next, ok := b.nextWindow(i, run.To); ok {
				t := b.at(next.From)
				x.Clears = &t
			}
			out = append(out, x)
		}
	}
	return out
}

// nextWindow is the first window of a row that begins at slot i or later.
func (b *builder) nextWindow(row, i int) (verdict.Run, bool) {
	list := b.Result.Rows[row].Windows
	k := slices.IndexFunc(list, func(w windowOf) bool { return w.From >= i })
	if k < 0 {
		return verdict.Run{}, false
	}
	return list[k].Run, true
}
