package window

import (
	"math"
	"slices"

	"dewgap/window/boat"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// zoneWork is one zone while it is being worked out.
type zoneWork struct {
	*evaluation
	z       int
	zone    boat.Zone
	roofed  bool // never open to the rain within the grid
	tracks  []*surface.Track
	parts   []*zoneWork // portions with another finish
	spread  [][]float32 // per member: K, of the surface as it is
	bare    [][]float32 // per member: K, of the surface kept dry
	looking looking
	meeting [2]*Met  // the panel as it is, and as a towel leaves it, in the slots of windows
	ready   [][]bool // per member: surface known and settled
	wets    [][]bool // per member: with the timing doubt of a bare probability; nil where none
	below   [][]bool // per member: an overhang drips onto it; nil where none
	hanging []bool   // water reaches it from above alone; nil where nothing drains onto it
	falls   [][]bool // per member: slots in which salt comes over; nil where none
	lies    [][]bool // per member: and those since the first of them
	alike   alike    // the zone in the evaluations that this one is held against; empty where nothing was learned
	crews   map[crewKey][]verdict.Limit

	panel    surface.Panel // these two with what was learned
	exposure *surface.Exposure
	lent     []*course   // per member: the memory of tracks, spread, bare and ready
	columns  [][]float32 // more that is lent
}

// trialKey is what of a step its verdicts hang on.
type trialKey struct {
	class string
	salt  bool
	rule  verdict.SaltRule
	next  recoat
	kept  int
}

type judged struct {
	windows  []Window
	short    []Window
	refusals []verdict.Run
	section  []float32
	slots    *Slots
	panel    *Met
}

func newZoneWork(e *evaluation, z int) *zoneWork {
	w := newPart(e, z, e.Job.Zones[z])
	for _, p := range w.zone.Parts {
		zone := w.zone
		zone.Finish, zone.Skin, zone.Parts = p.Finish, p.Finish.Skin, nil
		w.parts = append(w.parts, newPart(e, z, zone))
	}
	w.findAlike()
	return w
}

// newPart works out a zone with one finish all over.
func newPart(e *evaluation, z int, zone boat.Zone) *zoneWork {
	w := &zoneWork{evaluation: e, z: z, zone: zone, crews: map[crewKey][]verdict.Limit{}}
	ex := surface.NewExposure(e.exposed(w.zone), e.sky, e.Model)
	w.panel, w.exposure, w.roofed, w.hanging = panelOf(w.zone, e.Job, e.waterC), ex, true, w.hangs()
	for i := range ex.Wetted {
		w.roofed = w.roofed && !ex.Wetted[i]
	}
	offsets := w.teach()
	read := e.measured(z, zone, w.panel, ex)
	if m, ok := w.washed(); ok {
		// What was read as the wash ended, or later, has the last word.
		k, _ := slices.BinarySearchFunc(read, m.Slot, func(x surface.Measured, slot int) int { return x.Slot - slot })
		read = slices.Insert(read, k, m)
	}
	read = shifted(read, offsets)
	members := e.members
	if !e.needed[z] { // its hours are all that is asked
		members = members[:e.deciding()]
	}
	for m := range members {
		c := e.courses.take(e.grid.N)
		c.track.RunFrom(w.panel, ex, e.weather[m], e.Model, read)
		shift(c.track, offsets)
		w.lent, w.tracks = append(w.lent, c), append(w.tracks, c.track)
		w.below = append(w.below, w.dripped(m))
		w.trickle(m)
		w.derive(m, ex)
		falls, lies := w.salts(m)
		w.falls, w.lies = append(w.falls, falls), append(w.lies, lies)
	}
	return w
}

// derive makes of a track what the judge reads beside it.
func (w *zoneWork) derive(m int, ex *surface.Exposure) {
	n := w.grid.N
	spread, bare, ready := w.lent[m].spread, w.lent[m].bare, w.lent[m].ready
	t, wx := w.tracks[m], w.weather[m]
	shifted := false
	for i := range n {
		spread[i], bare[i] = t.Surface[i]-wx.Dew[i], t.Bare[i]-wx.Dew[i]
		ready[i] = t.Settled[i] && wx.Flags[i]&surface.KnownSurface != 0 && wx.Flags[i]&surface.KnownRain != 0
		shifted = shifted || wx.Flags[i]&surface.Shifted != 0
	}
	var wets []bool
	if shifted && !w.roofed {
		wets = make([]bool, n)
		for i := range n {
			wets[i] = t.Wets[i] || (ex.Wetted[i] && wx.Flags[i]&surface.Shifted != 0)
		}
	}
	w.spread, w.bare = append(w.spread, spread), append(w.bare, bare)
	w.ready, w.wets = append(w.ready, ready), append(w.wets, wets)
}

func (w *zoneWork) series(m int) *verdict.Series {
	t := w.tracks[m]
	return &verdict.Series{
		Outdoors: w.outdoors[m], Surface: t.Surface, Spread: w.spread[m], Film: t.Film, Sunlight: t.Sunlight, UV: t.UV,
		Wets: t.Wets, Doubt: t.Doubt, Dripped: w.below[m], Hangs: w.hanging, Shifted: w.wets[m],
		SaltFalls: w.falls[m], SaltLies: w.lies[m], KnownSurface: w.ready[m],
	}
}

// trials are the classes that are held against the zone: rows are the steps that are to be
// done on it, of is by row its trial. Steps with the same class share one.
func (w *zoneWork) trials() (rows []Row, trials []*trial, of []int) {
	place := map[trialKey]int{}
	for s, step := range w.Job.Steps {
		if !slices.Contains(step.On, w.z) {
			continue
		}
		c := w.class(step)
		next, _ := w.recoatOf(s, &c)
		key := trialKey{c.ID, w.salted(s), w.saltRule(s), next, w.keptUntil(s, &c)}
		k, ok := place[key]
		if !ok {
			k = len(trials)
			place[key], trials = k, append(trials, w.trial(s, c))
		}
		rows, of = append(rows, Row{Step: s, Zone: w.z, Class: c}), append(of, k)
	}
	return rows, trials, of
}

// shown joins the members' verdicts of a trial.
func (w *zoneWork) shown(t *trial) *verdict.Row {
	return verdict.NewRow(t.board, w.sure(), w.result.Dressed > 0)
}

// rows judges every step that is to be done on the zone.
func (w *zoneWork) rows() []Row {
	rows, trials, of := w.trials()
	w.verdicts(trials)
	answers := make([]*judged, len(trials))
	for k, t := range trials {
		answers[k] = w.judged(t)
	}
	for i := range rows {
		j := answers[of[i]]
		rows[i].Windows, rows[i].Short = append(rows[i].Windows, j.windows...), j.short
		rows[i].Refusals, rows[i].Section, rows[i].Slots, rows[i].Panel = j.refusals, j.section, j.slots, j.panel
	}
	w.done(trials...)
	return rows
}

// judged makes windows and refusals of the members' verdicts of a trial.
func (w *zoneWork) judged(t *trial) *judged {
	j := &judged{}
	from, to := w.result.From, w.result.To
	if t.film != nil {
		j.section = medianOver(t.film[:w.deciding()], from, to)
	}
	row := w.shown(t)
	j.slots = slotsOf(row, from, to)
	short := row.BlockShort(from, to, w.shortest())
	runs, refusals := row.Runs(from, to)
	j.refusals = refusals
	for _, r := range runs {
		win := w.window(r)
		w.bestBlock(row, &win)
		j.windows = append(j.windows, win)
	}
	for _, r := range short {
		win := w.window(r)
		win.BestFrom, win.BestTo, win.BestState = r.From, r.To, r.State
		win.BestConfidence, win.bestAsGo = float64(r.Confidence), float64(r.Confidence)
		j.short = append(j.short, win)
	}
	j.panel = w.met(slices.Concat(j.windows, j.short), t.towelled)
	for _, list := range [][]Window{j.windows, j.short} {
		for i := range list {
			x := &list[i]
			x.Panel, x.OverDew = j.panel.Extents(x.From-from, x.To-from)
		}
	}
	return j
}

// deciding is the number of members that decide the state.
func (e *evaluation) deciding() int {
	if e.result.Dressed > 0 {
		return 1
	}
	return len(e.members)
}

func (w *zoneWork) sure() float64 {
	if s := w.Job.Sure; s > 0 {
		return s
	}
	return 0.8
}

// window is a run, whether the sun shines on it and when the zone is next wet after it.
func (w *zoneWork) window(r verdict.Run) Window {
	win := Window{Run: r}
	win.Sunlit = w.sunlit(&win)
	win.WetAt, win.WetBy = w.nextWet(r.To)
	return win
}

// bestBlock picks, among the blocks of the shortest useful length that touch
// the window, the one that ranks it: state, confidence rounded down to five
// points, cooler hours, earlier start. A block that has to reach over the
// window's ends takes the worse state of what it covers.
func (w *zoneWork) bestBlock(row *verdict.Row, win *Window) {
	n := w.shortest()
	first := max(win.WorkFrom, win.From-n+1)
	last := min(win.WorkTo-n, win.To-1)
	if win.Len() >= n {
		first, last = win.From, win.To-n
	}
	best := block{state: verdict.NoGo}
	for i := first; i <= last; i++ {
		if b := w.block(row, i, i+n); better(b, best) {
			best = b
		}
	}
	win.BestFrom, win.BestTo = best.from, best.to
	win.BestState, win.BestHeat = best.state, best.heat
	win.BestConfidence, win.bestAsGo = float64(row.Joint(best.from, best.to, best.state)), best.confidence
}

type block struct {
	from, to   int
	state      verdict.State
	confidence float64 // at least go where the block is ideal, for that counts as go
	heat       float64 // K by which the mean heat index exceeds the screening line
}

func (w *zoneWork) block(row *verdict.Row, from, to int) block {
	b := block{from: from, to: to, heat: round2(w.heat(from, to))}
	for i := from; i < to; i++ {
		b.state = max(b.state, row.Shown[i].State)
	}
	b.confidence = float64(row.Joint(from, to, max(b.state, verdict.Go)))
	return b
}

// better reports whether a ranks before b.
func better(a, b block) bool {
	sa, sb := max(a.state, verdict.Go), max(b.state, verdict.Go) // ideal counts as go
	if sa != sb {
		return sa < sb
	}
	ca, cb := fivePoints(a.confidence), fivePoints(b.confidence)
	if ca != cb {
		return ca > cb
	}
	if a.heat != b.heat {
		return a.heat < b.heat
	}
	return a.from < b.from
}

// fivePoints rounds a share down to five points of a hundred.
func fivePoints(c float64) int { return int(math.Floor(c*20 + 1e-6)) }

// dewSpreadK is the spread, K, below which a dew clock stops.
const dewSpreadK = 1

// nextWet is when the zone is next wet after slot i in the member that decides,
// and by what. Towelled dew counts from the first slot with less than 1 K of
// spread.
func (w *zoneWork) nextWet(i int) (int, string) {
	t, spread, ready := w.tracks[0], w.spread[0], w.ready[0]
	for ; i < w.grid.N; i++ {
		switch {
		case w.known[0].fog[i]:
			return i, "fog"
		case t.Wets[i]:
			return i, "rain"
		case ready[i] && spread[i] < dewSpreadK:
			return i, "dew"
		}
	}
	return w.grid.N, ""
}
