package answer

import (
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/plan"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// workable is a board on which both zones may be washed all day.
func workableBoard(t *testing.T) *board {
	b := newBoard(t, "wash", "seal")
	for _, step := range []string{"wash", "seal"} {
		for _, zone := range []string{"port side", "foredeck"} {
			b.row(step, zone, "g none end")
		}
	}
	return b
}

func askedOf(m *Morning) []string {
	out := []string{}
	for _, s := range m.Steps {
		if s.Asked {
			out = append(out, s.Step+" "+s.Zone)
		}
	}
	return out
}

func (b *board) task(step, zone string) window.PlanTask {
	z, ok := b.f.Job.Zone(zone)
	require.True(b.t, ok)
	return window.PlanTask{Step: b.step[step], Zone: z}
}

// What is planned for today is asked; what cannot begin before another step is
// not, though it is planned; without a block today it is all that comes next.
func TestAskedIsWhatIsPlanned(t *testing.T) {
	b := workableBoard(t)
	assert.Equal(t, []string{"wash port side", "wash foredeck"}, askedOf(NewMorning(b.f)), "no plan")

	b.f.Planned = &window.Planned{
		Tasks: []window.PlanTask{b.task("wash", "foredeck"), b.task("seal", "foredeck"), b.task("wash", "port side")},
		Result: plan.Result{Found: true, Blocks: []plan.Block{
			{Task: 0, From: 6, To: 12}, {Task: 1, From: 30, To: 60}, {Task: 2, From: 144, To: 150}, // the last on the second day
		}},
	}
	assert.Equal(t, []string{"wash foredeck"}, askedOf(NewMorning(b.f)))
	b.f.Planned.Blocks = b.f.Planned.Blocks[2:]
	assert.Equal(t, []string{"wash port side", "wash foredeck"}, askedOf(NewMorning(b.f)), "nothing today")
}

// The plan in the book outranks the one just made, where it has a block today.
func TestAgreedPlanOutranks(t *testing.T) {
	b := workableBoard(t)
	b.f.Planned = &window.Planned{Tasks: []window.PlanTask{b.task("wash", "foredeck")}, Result: plan.Result{Found: true, Blocks: []plan.Block{{Task: 0, From: 6, To: 12}}}}
	b.f.Agreed = []PlanBlock{{Step: "wash", Zone: "port side", From: clock(t, "2026-09-10 09:00")}}
	assert.Equal(t, []string{"wash port side"}, askedOf(NewMorning(b.f)))
	b.f.Agreed[0].From = b.f.Agreed[0].From.AddDate(0, 0, 1)
	assert.Equal(t, []string{"wash foredeck"}, askedOf(NewMorning(b.f)))
}

// A block that is over and not in the book is asked for by name for as long again as it
// took, at least half an hour; not once it is logged, nor while it lasts.
func TestMorningAsksForTheLog(t *testing.T) {
	b := workableBoard(t)
	now := b.f.Now
	asks := func(from, to time.Duration, redo bool) string {
		b.f.Agreed = []PlanBlock{{Step: "wash", Zone: "port side", From: now.Add(from), To: now.Add(to), Redo: redo}}
		for _, w := range NewMorning(b.f).Warnings {
			if strings.HasPrefix(w, "not logged yet") {
				return w
			}
		}
		return ""
	}
	until := now.Add(-10 * time.Minute).In(b.f.Result.Location).Format("15:04")
	assert.Equal(t, "not logged yet: wash on port side, planned until "+until+"; log what is done", asks(-40*time.Minute, -10*time.Minute, false))
	assert.NotEmpty(t, asks(-3*time.Hour, -80*time.Minute, false), "as long again as it took")
	assert.Empty(t, asks(-3*time.Hour, -100*time.Minute, false))
	assert.Empty(t, asks(-40*time.Minute, -30*time.Minute, false))
	assert.Empty(t, asks(-40*time.Minute, time.Minute, false), "it is under way")
	assert.Empty(t, asks(-40*time.Minute, -10*time.Minute, true))
	b.f.Job.Zones[0].Done = map[string]boat.Done{"wash": {At: now.Add(-15 * time.Minute), Share: 0.5}}
	assert.Empty(t, asks(-40*time.Minute, -10*time.Minute, false), "it is logged, and not whole")
}

// What was read is listed with what became of it.
func TestMorningReadings(t *testing.T) {
	b := workableBoard(t)
	at := clock(t, "2026-09-10 05:50").UTC()
	b.f.Result.Readings = []window.ReadingUse{
		{At: at, Kind: window.ReadHumidity, Value: known(91), Forecast: known(12.345), Dew: known(13), DewError: known(0.5), Text: "05:50 humidity 91 %", Used: true},
		{At: at, Zone: "foredeck", Kind: window.ReadWet, Text: "05:50 foredeck wet", Reason: "it lies in the future"},
	}
	m := NewMorning(b.f)
	assert.Equal(t, []string{"05:50 humidity 91 %"}, m.ReadingsUsed)
	require.Len(t, m.Readings, 2)
	assert.InDelta(t, 12.35, *m.Readings[0].Forecast, 1e-9)
	assert.InDelta(t, 13, *m.Readings[0].DewC, 0)
	assert.Nil(t, m.Readings[1].Value)
	assert.Equal(t, "it lies in the future", m.Readings[1].Reason)
	assert.Equal(t, "-0400", m.Readings[0].At.Format("-0700"))
	assert.Empty(t, m.Inserted)
}

// Salt puts a flood rinse and the job's own wash before everything else.
func TestSaltInsertsAWash(t *testing.T) {
	b := workableBoard(t)
	b.f.Result.Salted, b.f.Result.Salty = []int{1}, []int{1}
	b.f.Result.Readings = []window.ReadingUse{
		{At: clock(t, "2026-09-10 05:40").UTC(), Zone: "foredeck", Kind: window.ReadSalt, Text: "05:40 foredeck salt", Used: true},
		{At: clock(t, "2026-09-10 05:50").UTC(), Zone: "port side", Kind: window.ReadSalt, Text: "05:50 port side no salt", Used: true},
	}
	b.f.Job.Steps[0].Name = "first wash"
	assert.Equal(t, []Inserted{{
		Zone: "foredeck", Steps: []string{"flood rinse", "first wash"},
		Text: "salt read 05:40: flood rinse, then first wash, before any pad or product touches it",
	}}, NewMorning(b.f).Inserted)
	b.f.Job.Steps[0].On, b.f.Job.Steps[1].On = []int{0}, []int{0}
	assert.Empty(t, NewMorning(b.f).Inserted, "nobody works there")
}

// Salt that the wind brought says until when it blew; where nobody knows whether any
// came, the morning asks and judges nothing by it.
func TestSaltByTheWind(t *testing.T) {
	b := workableBoard(t)
	b.f.Result.Salted, b.f.Result.Salty, b.f.Result.Blown = []int{1}, []int{1}, clock(t, "2026-09-09 17:00").UTC()
	m := NewMorning(b.f)
	require.Len(t, m.Inserted, 1)
	assert.True(t, strings.HasPrefix(m.Inserted[0].Text, "salt by onshore wind until Wed 9 Sep 17:00: flood rinse"), m.Inserted[0].Text)
	assert.NotContains(t, m.Warnings, sprayQuestion)

	b = workableBoard(t)
	before := NewMorning(b.f)
	b.f.Result.SprayUnknown = true
	m = NewMorning(b.f)
	assert.Equal(t, sprayQuestion, m.Warnings[0])
	assert.Equal(t, before.Verdict, m.Verdict)
}

// A test patch that was read outranks the job's clock and the class's.
func TestPatchOutranksTheClocks(t *testing.T) {
	b := workableBoard(t)
	b.f.Job.Steps[1].HazeMin = 42
	row := &b.f.Result.Rows[2]
	got := newBuilder(b.f).haze(row, &row.Windows[0])
	assert.Equal(t, &[2]float64{42, 42}, got)
	b.f.Result.HazeMin = map[window.Patch]float64{{Zone: row.Zone, Class: row.Class.ID}: 38.2}
	assert.Equal(t, &[2]float64{38, 38}, newBuilder(b.f).haze(row, &row.Windows[0]))
	other := &b.f.Result.Rows[3]
	assert.Equal(t, &[2]float64{42, 42}, newBuilder(b.f).haze(other, &other.Windows[0]), "another zone")
}

func TestWeekWithoutPlan(t *testing.T) {
	b := workableBoard(t)
	assert.Nil(t, NewWeek(b.f).Plan)
	b.f.Planned = &window.Planned{Result: plan.Result{Found: true, Confidence: 1, Proven: plan.Criteria}}
	got := NewWeek(b.f).Plan
	require.NotNil(t, got)
	assert.Equal(t, []string{"everything is done"}, got.Why)
	assert.WithinDuration(t, b.f.Now, NewWeek(b.f).Now, time.Second)
}

// Salt that the job tells of is flooded off like salt that was read: the morning says so
// first, the plan and its crew's note at the wash, and the reasons of a product that is
// to follow in front of all others (common practice, no source).
func TestSaltToldIsFloodedOff(t *testing.T) {
	b := planBoard(t)
	words := "salt, as the job says: flood rinse, then wash, before any pad or product touches it"
	x := &window.Explanation{Zone: 0, Class: b.f.Result.Rows[1].Class, At: b.f.Now, State: verdict.Ideal}
	assert.Empty(t, NewWhy(b.f, x).Limits, "no salt")
	b.f.Result.Salty = []int{0}
	m := NewMorning(b.f)
	require.Len(t, m.Inserted, 1)
	assert.Equal(t, words, m.Inserted[0].Text)
	blocks := NewPlan(b.f, sealed(b)).Blocks
	assert.True(t, blocks[0].FloodRinse, "the wash")
	assert.False(t, blocks[1].FloodRinse, "the seal")
	w := NewWhy(b.f, x)
	require.Len(t, w.Limits, 1)
	assert.Equal(t, words, w.Limits[0].Text)
	assert.Equal(t, "salt", w.Limits[0].Limit)
	assert.Equal(t, "no-go", w.Limits[0].State, "as it lies there")
	assert.Equal(t, []string{"ideal", "the salt is washed off"}, []string{w.State, w.Once})

	x.Class = b.f.Result.Rows[0].Class
	assert.Empty(t, NewWhy(b.f, x).Limits, "a wash minds no salt")
	x.Class, x.Zone = b.f.Result.Rows[1].Class, 1
	assert.Empty(t, NewWhy(b.f, x).Limits, "another zone")
}

// Two dry-offs are told apart by their water; one alone needs no name.
func TestDryOffsNameTheirWater(t *testing.T) {
	b := workableBoard(t)
	held := func(v float32) verdict.Held {
		return verdict.Held{Limit: verdict.DryOff, State: verdict.NoGo, Value: v, Known: true, Ideal: 2, Default: 2, Hard: 1, HasHard: true}
	}
	dew := verdict.Held{Limit: verdict.DewFree, State: verdict.Ideal, Value: 20, Known: true, Ideal: 12, Default: 6}
	x := &window.Explanation{Zone: 0, Class: b.f.Result.Rows[1].Class, At: b.f.Now, State: verdict.NoGo,
		Binding: verdict.Binding{Limit: verdict.DryOff, Value: 0.5, Bound: 1, HasValue: true},
		Limits:  []verdict.Held{held(30), dew, held(0.5)}}
	since := func(x *window.Explanation) []string {
		w := NewWhy(b.f, x)
		out := []string{w.Binding.Since}
		for _, l := range w.Limits {
			out = append(out, l.Since)
		}
		return out
	}
	assert.Equal(t, []string{"dew", "rain or wash water", "", "dew"}, since(x))
	assert.False(t, NewWhy(b.f, x).Limits[2].AtLeast)
	x.Limits[2].Least = true
	w := NewWhy(b.f, x)
	assert.Equal(t, []bool{true, false, false, true}, []bool{w.Binding.AtLeast, w.Limits[0].AtLeast, w.Limits[1].AtLeast, w.Limits[2].AtLeast})
	x.Limits = []verdict.Held{dew, held(0.5)}
	assert.Equal(t, []string{"", "", ""}, since(x), "one alone")
	x.Limits = []verdict.Held{held(0.5), held(0.5)}
	assert.Equal(t, []string{"rain or wash water", "rain or wash water, and dew"}, since(x), "the same by both is one line")
	x.Limits[1].Least = true
	assert.Equal(t, []string{"rain or wash water", "rain or wash water", "dew"}, since(x), "of the one it is not known when it was")
}

// The shortest useful block is that of a visit. What the plan books in a shorter stretch is
// asked as what the hours are like; of a step that is not booked the stretch stays too short.
func TestMorning_BookedInAShortStretch(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Now = clock(t, "2026-09-10 09:10")
	b.row("seal", "port side", night+"x film 09:00;x block 10:30;x film 18:00"+tomorrow)
	other := *b.row("seal", "foredeck", night+"x film 09:00;x block 10:30;x film 18:00"+tomorrow)
	r := &b.f.Result.Rows[0]
	from, to := b.slot("09:00"), b.slot("10:30")
	run := verdict.Run{From: from, To: to, State: verdict.Go, Confidence: 1, WorkFrom: from, WorkTo: to}
	r.Short = []window.Window{{Run: run, BestFrom: from, BestTo: to, BestState: verdict.Go, WetAt: b.f.Result.Grid.N}}
	assert.Equal(t, NoGo, NewMorning(b.f).Verdict)

	b.f.Agreed = []PlanBlock{{Step: "seal", Zone: "port side", From: clock(t, "2026-09-10 09:00"), To: clock(t, "2026-09-10 10:00")}}
	m := NewMorning(b.f)
	assert.Equal(t, []string{"go", "no-go"}, []string{m.Steps[0].State, m.Steps[1].State})
	assert.Equal(t, "10:20", m.Steps[0].Last.Format("15:04"))
	assert.Equal(t, Go, m.Verdict)
	assert.Len(t, r.Windows, 1, "the result stays as it is")
	assert.Equal(t, other, b.f.Result.Rows[1])
}

// What is not known has its own cause: a quantity that the forecast lacks, or a panel that
// nobody can tell yet though all of the weather is there.
func TestWhy_NotKnown(t *testing.T) {
	board := newBoard(t, "seal")
	b := newBuilder(board.f)
	class, at := products.Class{}, clock(t, "2026-09-10 05:00")
	const panel = "the forecast begins, or has a gap, too shortly before that to tell"
	assert.Equal(t, panel, b.missing(verdict.SurfaceMin, class, at))
	assert.Equal(t, panel, b.missing(verdict.SunlightMax, class, at))
	assert.Equal(t, "the forecast does not give it there", b.missing(verdict.UVMax, class, at))
	m := &board.f.Forecast.Members[0]
	m.Columns[forecast.WindSpeed].Known[5] = false
	assert.Equal(t, "the forecast lacks wind from Thu 10 Sep 05:00", b.missing(verdict.SurfaceMin, class, at))
	assert.Equal(t, "the forecast begins Thu 10 Sep 00:00", b.missing(verdict.SurfaceMin, class, at.Add(-6*time.Hour)))
}

// What ends the work is said once: rain that is told beside the last start is not told again
// as the water that it leaves.
func TestEnds(t *testing.T) {
	at := func(h int) *time.Time { x := time.Date(2026, 9, 10, h, 0, 0, 0, time.UTC); return &x }
	s := MorningStep{Last: at(12), WetAt: at(13), WetBy: "rain", Change: "water on the panel, from 13:00"}
	assert.Empty(t, s.Ends())
	for _, change := range []func(*MorningStep){
		func(s *MorningStep) { s.WetBy = "dew" }, func(s *MorningStep) { s.WetAt = at(14) }, func(s *MorningStep) { s.Last = nil },
		func(s *MorningStep) { s.WetAt = at(37) }, func(s *MorningStep) { s.Change = "rain less than 2 h after the work, from 11:00" },
	} {
		x := s
		change(&x)
		assert.Equal(t, x.Change, x.Ends())
	}
}

func TestRainWords(t *testing.T) {
	now := time.Date(2026, 9, 10, 13, 0, 0, 0, time.UTC)
	words := func(after time.Duration) string {
		return RainWords(now, now.Add(after), func(_, at time.Time) string { return at.Format("15:04") })
	}
	assert.Equal(t, "rain from 13:10", words(10*time.Minute))
	assert.Equal(t, "rain now", words(0), "nobody in it looks for the hour")
	assert.Equal(t, "rain now", words(-time.Hour))
}

// A section is worth a word only where it is smaller than what is washed.
func TestAllAtOnce(t *testing.T) {
	small, large := 2.0, 9.0
	assert.True(t, PlanBlock{SectionM2: &small, AreaM2: &small}.AllAtOnce())
	assert.True(t, PlanBlock{SectionM2: &large, AreaM2: &small}.AllAtOnce())
	assert.False(t, PlanBlock{SectionM2: &small, AreaM2: &large}.AllAtOnce())
	assert.False(t, PlanBlock{SectionM2: &small}.AllAtOnce(), "nobody knows how large it is")
	assert.False(t, PlanBlock{AreaM2: &small}.AllAtOnce(), "no wash")
}
