package openmeteo

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"dewgap/forecast/internal/reply"
)

// The longest step that is still read: amounts over more than six hours say
// nothing about a working day.
const longestStep = 6 * reply.Hour

// block is the hourly or quarter-hourly part of a reply.
type block struct {
	name    string
	stamps  []int64 // seconds since 1970 UTC, evenly spaced
	step    int64
	axis    reply.Axis
	units   map[string]string
	columns reply.Object
	place   *location
	notes   []string
}

// newBlock finds the block to read and lays out its time.
func (l *location) newBlock() (*block, error) {
	for _, name := range []string{"hourly", "minutely_15"} {
		raw := l.fields.Get(name)
		if raw == nil {
			continue
		}
		columns, ok := reply.SplitObject(raw)
		if !ok {
			return nil, errorf(reply.Again, "its %q is no object", name)
		}
		if columns.Get("time") == nil {
			continue
		}
		if key, twice := columns.Twice(); twice {
			return nil, errorf(reply.Again, "column %s is there twice", key)
		}
		b := &block{name: name, columns: columns, place: l, units: l.readUnits(name + "_units")}
		if unit, stated := b.units["time"]; stated && unit != "iso8601" && unit != "unixtime" {
			return nil, errorf("ask with timeformat=iso8601 or unixtime", "its times have an unknown unit: %.40q", unit)
		}
		return b, b.readTimes()
	}
	return nil, errorf("ask for hourly=temperature_2m,relative_humidity_2m,wind_speed_10m and the rest",
		"it has no hourly values")
}

func (l *location) readUnits(key string) map[string]string {
	fields, _ := reply.SplitObject(l.fields.Get(key))
	units := make(map[string]string, len(fields))
	for _, f := range fields {
		if text, ok := reply.Text(f.Value); ok {
			units[f.Key] = text
		}
	}
	return units
}

// readTimes reads the stamps and derives step and axis.
func (b *block) readTimes() error {
	elements, ok := reply.SplitArray(b.columns.Get("time"))
	if !ok || len(elements) == 0 {
		return errorf(reply.Again, "its list of times is empty")
	}
	var err error
	if elements[0][0] == '"' {
		b.stamps, err = b.localTimes(elements)
	} else {
		b.stamps, err = unixTimes(elements)
	}
	if err != nil {
		return err
	}
	if b.step, err = evenStep(b.stamps); err != nil {
		return err
	}
	if b.step > longestStep || reply.Hour%b.step != 0 && b.step%reply.Hour != 0 {
		return errorf("ask for hourly values", "its steps of %v cannot be laid onto hours",
			time.Duration(b.step)*time.Second)
	}
	b.wholeHours()
	b.layAxis()
	return nil
}

// layAxis covers every stamp with whole UTC hours.
func (b *block) layAxis() {
	first, last := b.stamps[0], b.stamps[len(b.stamps)-1]
	b.axis.Start = reply.FloorHour(first)
	b.axis.N = int((reply.FloorHour(last)-b.axis.Start)/reply.Hour) + 1
	if b.step > reply.Hour {
		b.notes = append(b.notes, fmt.Sprintf(
			"the reply has one value for %d hours: instants are drawn straight between them, amounts spread evenly, sunlight by the sun",
			b.step/reply.Hour))
	}
}

// wholeHours undoes a habit of the service: where the zone is a broken number
// of hours from UTC, it reads its hourly data at whole UTC hours and labels
// them with the broken offset (its source, ApiQueryParameter.getTimerange2).
// The stamps are moved back to the hours that the data are for.
func (b *block) wholeHours() {
	broken := b.place.offset % reply.Hour // truncates towards zero, as the service does
	if broken == 0 || b.step < reply.Hour || (b.stamps[0]+broken)%reply.Hour != 0 {
		return
	}
	for i := range b.stamps {
		b.stamps[i] += broken
	}
	b.notes = append(b.notes, fmt.Sprintf(
		"the service labels whole UTC hours with its zone's broken offset: times are moved by %d min", broken/60))
}

// evenStep gives the distance between stamps, an hour if there is only one.
func evenStep(stamps []int64) (int64, error) {
	if len(stamps) == 1 {
		return reply.Hour, nil
	}
	step := stamps[1] - stamps[0]
	for i := 1; i < len(stamps); i++ {
		switch d := stamps[i] - stamps[i-1]; {
		case d == 0:
			return 0, errorf(reply.Again, "the time %s is there twice", show(stamps[i]))
		case d < 0:
			return 0, errorf(reply.Again, "its times are out of order: %s comes after %s",
				show(stamps[i]), show(stamps[i-1]))
		case d != step:
			return 0, errorf(reply.Again, "its times are uneven: %v from %s to %s, but %v before",
				time.Duration(d)*time.Second, show(stamps[i-1]), show(stamps[i]), time.Duration(step)*time.Second)
		}
	}
	return step, nil
}

func show(t int64) string { return time.Unix(t, 0).UTC().Format("2006-01-02T15:04Z") }

// Stamps outside these years are a damaged reply; within them nothing below
// can overflow.
const (
	earliest = -2208988800 // 1900
	latest   = 7258118400  // 2200
)

func unixTimes(elements [][]byte) ([]int64, error) {
	stamps := make([]int64, len(elements))
	for i, e := range elements {
		v, known, err := reply.Number(e)
		if err != nil || !known || v != float64(int64(v)) || v < earliest || v > latest {
			return nil, errorf(reply.Again, "time %d is %.40s, no whole second between 1900 and 2200", i+1, e)
		}
		stamps[i] = int64(v)
	}
	return stamps, nil
}

// localTimes reads stamps such as "2026-09-10T06:00", which carry no offset.
func (b *block) localTimes(elements [][]byte) ([]int64, error) {
	wall := make([]int64, len(elements))
	for i, e := range elements {
		text, _ := reply.Text(e)
		t, err := time.Parse("2006-01-02T15:04", text)
		if err != nil || t.Unix() < earliest || t.Unix() > latest {
			return nil, errorf(reply.Again, "time %d is %.40s, not like \"2026-09-10T06:00\" between 1900 and 2200", i+1, e)
		}
		wall[i] = t.Unix()
	}
	if _, uneven := evenStep(wall); uneven != nil {
		if stamps := b.walkZone(wall); stamps != nil {
			return stamps, nil
		}
		return nil, uneven
	}
	offset, err := b.place.fixedOffset(wall[0])
	if err != nil {
		return nil, err
	}
	for i := range wall {
		wall[i] -= offset
	}
	return wall, nil
}

// fixedOffset is what the reply says, else what its zone has at the first stamp.
func (l *location) fixedOffset(wall int64) (int64, error) {
	if l.hasOff {
		return l.offset, nil
	}
	zone := reply.Zone(l.zone)
	if zone == nil {
		return 0, errorf("ask with timeformat=unixtime, or keep utc_offset_seconds in the saved reply",
			"its times are local, but it names neither an offset nor a known time zone")
	}
	return wall - inZone(wall, zone).Unix(), nil
}

// inZone reads a wall clock, given as the seconds it would be in UTC.
func inZone(wall int64, zone *time.Location) time.Time {
	t := time.Unix(wall, 0).UTC()
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, zone)
}

// walkZone resolves stamps that skip or repeat an hour as the clock on the wall
// does when daylight saving begins or ends. It gives the even UTC stamps whose
// wall clock they are, nil if there are none.
func (b *block) walkZone(wall []int64) []int64 {
	zone, step := reply.Zone(b.place.zone), commonStep(wall)
	if zone == nil || step <= 0 {
		return nil
	}
	first := inZone(wall[0], zone).Unix()
	for _, start := range []int64{first - reply.Hour, first, first + reply.Hour} {
		if stamps := wallOf(wall, start, step, zone); stamps != nil {
			return stamps
		}
	}
	return nil
}

// wallOf gives the stamps from start if their wall clock is the one given.
func wallOf(wall []int64, start, step int64, zone *time.Location) []int64 {
	stamps := make([]int64, len(wall))
	for i := range wall {
		t := start + int64(i)*step
		if _, offset := time.Unix(t, 0).In(zone).Zone(); t+int64(offset) != wall[i] {
			return nil
		}
		stamps[i] = t
	}
	return stamps
}

// commonStep is the most frequent distance forward, the shorter one if two are
// equally so, 0 if there is none.
func commonStep(wall []int64) int64 {
	steps := make([]int64, 0, len(wall))
	for i := 1; i < len(wall); i++ {
		if d := wall[i] - wall[i-1]; d > 0 {
			steps = append(steps, d)
		}
	}
	slices.SortFunc(steps, cmp.Compare)
	var best int64
	most := 0
	for i := 0; i < len(steps); {
		j := i
		for j < len(steps) && steps[j] == steps[i] {
			j++
		}
		if j-i > most {
			best, most = steps[i], j-i
		}
		i = j
	}
	return best
}

// zoneName is the place's IANA zone. GMT is what the service uses when no zone
// was asked for, so it tells nothing about the place.
func (l *location) zoneName() string {
	if l.zone == "GMT" || l.zone == "UTC" || reply.Zone(l.zone) == nil {
		return ""
	}
	return l.zone
}
