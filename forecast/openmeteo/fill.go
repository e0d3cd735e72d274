package openmeteo

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// filler reads the columns of some members of a model. Its buffers are reused, for an
// ensemble has a thousand columns.
type filler struct {
	*block
	series     reply.Series
	points     []reply.Point
	spans      []reply.Span
	impossible reply.Impossible
	notes      []string // beside the block's
	err        error
}

// fill reads every member of the chosen model.
func (b *block) fill(f *forecast.Forecast, columns []column, model string) error {
	groups := byMember(columns, model)
	f.Members = make([]forecast.Member, len(groups))
	half := (len(groups) + 1) / 2
	var parts [2]filler // the first half of the members and the second, beside one another
	var wait sync.WaitGroup
	for k, from := range [...]int{0, half} {
		r, to := &parts[k], min(from+half, len(groups))
		r.block = b
		wait.Go(func() { r.err = r.members(f.Members[from:to], groups[from:to]) })
	}
	if wait.Wait(); cmp.Or(parts[0].err, parts[1].err) != nil {
		return cmp.Or(parts[0].err, parts[1].err)
	}
	if len(f.Members) > 1 && f.Members[0].Name == "" {
		f.Members[0].Name = "control"
	}
	f.Warnings = append(f.Warnings, b.notes...)
	for _, note := range slices.Concat(parts[0].notes, parts[1].notes) {
		if !slices.Contains(f.Warnings, note) {
			f.Warnings = append(f.Warnings, note)
		}
	}
	for k := range parts {
		f.Warnings = append(f.Warnings, parts[k].impossible.Warnings()...)
	}
	return nil
}

// members reads members one after the other.
func (r *filler) members(to []forecast.Member, groups [][]column) (err error) {
	for i, own := range groups {
		if to[i], err = r.member(own); err != nil {
			return err
		}
	}
	return nil
}

// byMember groups the model's columns by member, the control run first. Members
// without a temperature are dropped where others have one: they are columns
// that the service does not compute by member.
func byMember(columns []column, model string) [][]column {
	groups := map[string][]column{}
	warm := map[string]bool{}
	for _, c := range columns {
		if c.model != model {
			continue
		}
		groups[c.member] = append(groups[c.member], c)
		if variables[c.of].quantity == forecast.AirTemperature {
			warm[c.member] = true
		}
	}
	names := slices.SortedFunc(maps.Keys(groups), func(a, b string) int {
		return cmp.Or(cmp.Compare(len(a), len(b)), strings.Compare(a, b))
	})
	var out [][]column
	for _, name := range names {
		if len(warm) == 0 || warm[name] {
			out = append(out, groups[name])
		}
	}
	return out
}

// member reads the columns of one member.
func (r *filler) member(columns []column) (m forecast.Member, err error) {
	m.Name = columns[0].member
	for _, c := range columns {
		v := variables[c.of]
		if v.part != whole || m.Columns[v.quantity].Known != nil {
			continue
		}
		if err := r.column(&m, c); err != nil {
			return m, err
		}
	}
	if !m.Columns[forecast.Pressure].Any() {
		if err := r.groundPressure(&m, columns); err != nil {
			return m, err
		}
	}
	if !m.Columns[forecast.Precipitation].Any() {
		if err := r.sumOfParts(&m, columns); err != nil {
			return m, err
		}
	}
	deriveRadiation(&m)
	return m, nil
}

// column lays one column onto the hours of its quantity.
func (r *filler) column(m *forecast.Member, c column) error {
	some, err := r.load(c)
	if err != nil || !some {
		return err
	}
	v := variables[c.of]
	to := &m.Columns[v.quantity]
	switch v.quantity.Kind() {
	case forecast.Instant:
		*to = r.axis.Linear(r.points, max(r.step, reply.Hour))
	case forecast.Mean:
		*to = r.axis.Mean(r.spans)
		r.bySun(v.quantity, to)
	case forecast.Sum:
		*to, m.Columns[forecast.PrecipitationSpan] = r.axis.Sum(r.spans)
		dropEmpty(&m.Columns[forecast.PrecipitationSpan])
	case forecast.Maximum:
		*to = r.axis.Maximum(r.spans)
	case forecast.Label:
		*to = r.label(v)
	}
	return nil
}

// label holds a direction from its stamp on. Of codes and probabilities within
// one hour the largest counts: it is the worst.
func (r *filler) label(v variable) forecast.Column {
	if r.step < reply.Hour && v.quantity != forecast.WindFrom {
		return r.axis.Maximum(r.spans)
	}
	return r.axis.Hold(r.spans)
}

// load reads a column into points and spans, in the quantity's unit. A column
// of nothing but nulls gives false whatever its unit, which the service then
// calls "undefined".
func (r *filler) load(c column) (some bool, err error) {
	r.series, err = reply.Numbers(c.raw, r.series)
	if err != nil {
		return false, errorf(reply.Again, "column %s: %v", c.key, err)
	}
	if n := len(r.series.Values); n != len(r.stamps) {
		return false, errorf(reply.Again, "column %s has %d values for %d times", c.key, n, len(r.stamps))
	}
	if !r.series.Any() {
		return false, nil
	}
	l, err := r.conversion(c)
	if err != nil {
		return false, err
	}
	r.points, r.spans = r.points[:0], r.spans[:0]
	for i, t := range r.stamps {
		v, known := r.value(c, l, i)
		r.points = append(r.points, reply.Point{At: t, V: v, Known: known})
		if !known {
			continue
		}
		from := t
		if variables[c.of].timing == before {
			from -= r.step
		}
		r.spans = append(r.spans, reply.Span{From: from, To: from + r.step, V: v})
	}
	return true, nil
}

// value gives value i in our unit, unknown if null or impossible.
func (r *filler) value(c column, l reply.Linear, i int) (float64, bool) {
	if !r.series.Known[i] {
		return 0, false
	}
	v := l.Of(r.series.Values[i])
	good, ok := reply.Possible(variables[c.of].quantity, v)
	if !ok {
		r.impossible.Add(c.key, variables[c.of].quantity, v)
	}
	return good, ok
}

// groundPressure stands in for the pressure at the ground.
func (r *filler) groundPressure(m *forecast.Member, columns []column) error {
	i := slices.IndexFunc(columns, func(c column) bool { return variables[c.of].part == seaLevel })
	if i < 0 || !r.place.place.HasElevation {
		return nil
	}
	if err := r.column(m, columns[i]); err != nil {
		return err
	}
	c := m.Columns[forecast.Pressure]
	for k := range c.Known {
		if v, known := c.At(k); known {
			c.Set(k, reply.GroundPressure(v, r.place.place.ElevationM))
		}
	}
	return nil
}

// sumOfParts adds rain, showers and melted snow where the total is missing. It
// is known where all the parts that the reply has are known.
func (r *filler) sumOfParts(m *forecast.Member, columns []column) error {
	var total, span forecast.Column
	var names []string
	for _, c := range columns {
		if p := variables[c.of].part; p != water && p != snow {
			continue
		}
		var one forecast.Member
		if err := r.column(&one, c); err != nil {
			return err
		}
		add := one.Columns[forecast.Precipitation]
		if add.Known == nil {
			continue
		}
		names = append(names, variables[c.of].name)
		total = plus(total, add)
		span = one.Columns[forecast.PrecipitationSpan]
	}
	if !slices.Contains(names, "rain") {
		return nil // snow alone says nothing about rain
	}
	m.Columns[forecast.Precipitation], m.Columns[forecast.PrecipitationSpan] = total, span
	note := fmt.Sprintf("the reply has no precipitation: the sum of %s is taken", strings.Join(names, ", "))
	if !slices.Contains(r.notes, note) {
		r.notes = append(r.notes, note)
	}
	return nil
}

func plus(a, b forecast.Column) forecast.Column {
	if a.Known == nil {
		return b
	}
	for k := range a.Known {
		x, okX := a.At(k)
		y, okY := b.At(k)
		if a.Known[k] = okX && okY; a.Known[k] {
			a.Values[k] = x + y
		}
	}
	return a
}

// dropEmpty turns a column that knows nothing into the zero Column.
func dropEmpty(c *forecast.Column) {
	if !c.Any() {
		*c = forecast.Column{}
	}
}

// deriveRadiation fills the third of global, direct and diffuse radiation where
// two are known: global = direct + diffuse on the level (the service's own
// values keep to it within 0.1 W/m²).
func deriveRadiation(m *forecast.Member) {
	global := &m.Columns[forecast.GlobalRadiation]
	direct := &m.Columns[forecast.DirectRadiation]
	diffuse := &m.Columns[forecast.DiffuseRadiation]
	combine(global, direct, diffuse, 1)
	combine(direct, global, diffuse, -1)
	combine(diffuse, global, direct, -1)
}

// combine sets to = a + sign·b, not below zero, where to is absent and both are
// known.
func combine(to, a, b *forecast.Column, sign float64) {
	if a.Known == nil || b.Known == nil {
		return
	}
	if to.Known == nil {
		*to = forecast.NewColumn(len(a.Known))
	}
	for k := range to.Known {
		x, okX := a.At(k)
		y, okY := b.At(k)
		if !to.Known[k] && okX && okY {
			to.Set(k, max(0, x+sign*y))
		}
	}
	dropEmpty(to)
}
