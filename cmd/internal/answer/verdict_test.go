package answer

import (
	"slices"
	"testing"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
)

const night = "x hours 07:00;"

func TestWeekVerdict(t *testing.T) {
	const (
		good     = night + "g surface_min 12:00;x hours end"
		ideal    = night + "i none 12:00;x hours end"
		marginal = night + "m wind_max 12:00;x hours end"
		refused  = night + "x film 18:00;x hours end"
		blind    = night + "u data 18:00;x hours end"
		glimpse  = night + "u data 08:30;x film 18:00;x hours end"
		late     = "x film +20:30;u data end" // the clocks reach past the forecast's end
	)
	for name, c := range map[string]struct {
		steps  []string
		rows   map[string]string // port side's row of each step
		accept bool
		by     job.Date
		want   string
	}{
		"a window":                         {[]string{"seal"}, map[string]string{"seal": good}, false, job.Date{}, Go},
		"an ideal one":                     {[]string{"seal"}, map[string]string{"seal": ideal}, false, job.Date{}, Go},
		"only marginal":                    {[]string{"seal"}, map[string]string{"seal": marginal}, false, job.Date{}, Marginal},
		"marginal with consent":            {[]string{"seal"}, map[string]string{"seal": marginal}, true, job.Date{}, Go},
		"none":                             {[]string{"seal"}, map[string]string{"seal": refused}, false, job.Date{}, NoGo},
		"only data prevents it":            {[]string{"seal"}, map[string]string{"seal": blind}, false, job.Date{}, Unknown},
		"too short an unknown":             {[]string{"seal"}, map[string]string{"seal": glimpse}, false, job.Date{}, NoGo},
		"the forecast's end is no cause":   {[]string{"seal"}, map[string]string{"seal": late}, false, job.Date{}, NoGo},
		"unless that day was asked for":    {[]string{"seal"}, map[string]string{"seal": late}, false, job.Date{Year: 2026, Month: 9, Day: 11}, Unknown},
		"other steps do not count":         {[]string{"wash", "seal"}, map[string]string{"wash": refused, "seal": good}, false, job.Date{}, Go},
		"without a seal all steps do":      {[]string{"wash", "correct"}, map[string]string{"wash": refused, "correct": good}, false, job.Date{}, NoGo},
		"without a seal, all good":         {[]string{"wash", "correct"}, map[string]string{"wash": ideal, "correct": good}, false, job.Date{}, Go},
		"only marginal, and later unknown": {[]string{"seal"}, map[string]string{"seal": night + "m wind_max 12:00;u data 18:00;x hours end"}, false, job.Date{}, Marginal},
		"one a yes, the other data":        {[]string{"wash", "correct"}, map[string]string{"wash": blind, "correct": marginal}, false, job.Date{}, NoGo},
		"one a yes, the other good":        {[]string{"wash", "correct"}, map[string]string{"wash": marginal, "correct": good}, false, job.Date{}, Marginal},
		"no-go outranks a yes":             {[]string{"wash", "correct"}, map[string]string{"wash": marginal, "correct": refused}, false, job.Date{}, NoGo},
		"no-go outranks unknown":           {[]string{"wash", "correct"}, map[string]string{"wash": blind, "correct": refused}, false, job.Date{}, NoGo},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, c.steps...)
			classes := b.f.Classes.(classes)
			class, _ := classes.Class("seal-class")
			class.RainFree.Given, class.RainFree.Default = true, 4
			classes["seal-class"] = class
			b.f.Job.AcceptMargin, b.f.Job.By = c.accept, c.by
			for _, s := range c.steps {
				b.row(s, "port side", c.rows[s])
				b.row(s, "foredeck", refused)
			}
			assert.Equal(t, c.want, newBuilder(b.f).weekVerdict(nil))
		})
	}
}

// What the plan has within a visit are hours too, though too short for a visit of their
// own: a block ahead that may be worked in and asks for no yes, or has it.
func TestWeekVerdict_InThePlan(t *testing.T) {
	const short = night + "x block 08:20;x hours end"
	block := func(step, state string, asks bool, to string) PlanBlock {
		return PlanBlock{Step: step, Zone: "port side", From: clock(t, "2026-09-10 05:00"), To: clock(t, to), State: state, NeedsConsent: asks}
	}
	const ahead, over = "2026-09-10 08:00", "2026-09-10 06:00"
	for name, c := range map[string]struct {
		row    string
		blocks []PlanBlock
		accept bool
		want   string
	}{
		"no plan":                     {short, nil, false, NoGo},
		"a block":                     {short, []PlanBlock{block("seal", Go, false, ahead)}, false, Go},
		"one that asks":               {short, []PlanBlock{block("seal", Marginal, true, ahead)}, false, Marginal},
		"one that has its yes":        {short, []PlanBlock{block("seal", Marginal, true, ahead)}, true, Go},
		"one of two asks":             {short, []PlanBlock{block("seal", Marginal, true, ahead), block("seal", Go, false, ahead)}, false, Go},
		"a block of another step":     {short, []PlanBlock{block("wash", Go, false, ahead)}, false, NoGo},
		"one that is over":            {short, []PlanBlock{block("seal", Go, false, over)}, false, NoGo},
		"one that holds no longer":    {short, []PlanBlock{block("seal", NoGo, true, ahead)}, true, NoGo},
		"better than its own windows": {night + "m wind_max 12:00;x hours end", []PlanBlock{block("seal", Go, false, ahead)}, false, Go},
	} {
		b := newBoard(t, "wash", "seal")
		b.row("wash", "port side", short)
		b.row("seal", "port side", c.row)
		b.f.Job.AcceptMargin = c.accept
		w := NewWeek(b.f)
		w.TakePlan(b.f, &Plan{State: Go, Blocks: c.blocks})
		assert.Equal(t, c.want, w.Verdict, name)
		for _, state := range []string{None, NoGo, Unknown} {
			w.TakePlan(b.f, &Plan{State: state, Blocks: c.blocks})
			assert.NotEqual(t, Go, w.Verdict, "%s: a plan that is %s has no hours", name, state)
			ahead := slices.ContainsFunc(c.blocks, func(x PlanBlock) bool { return x.Step == "seal" && x.State != NoGo && x.To.After(b.f.Now) })
			if c.row == short {
				assert.Equal(t, state == Unknown && ahead, w.Verdict == Unknown, "%s: data alone speak against a plan that is unknown, not %s", name, state)
			}
		}
	}
}

// Work that is over and not logged counts as done where nothing else of its step is ahead;
// where something is, that has the word.
func TestTakeMoved_Unlogged(t *testing.T) {
	for name, c := range map[string]struct {
		ahead []PlanBlock
		want  string
	}{
		"all of it is over": {nil, Go},
		"the rest asks":     {[]PlanBlock{{Step: "seal", Zone: "foredeck", State: Marginal, NeedsConsent: true}}, Marginal},
		"the rest is go":    {[]PlanBlock{{Step: "seal", Zone: "foredeck", State: Go}}, Go},
		"the rest is lost":  {[]PlanBlock{{Step: "seal", Zone: "foredeck", State: NoGo}}, NoGo},
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", night+"x film end")
		b.row("seal", "foredeck", night+"x film end")
		over := PlanBlock{Step: "seal", Zone: "port side", From: clock(t, "2026-09-10 03:00"), To: clock(t, "2026-09-10 05:00"), State: Go}
		m := &Move{
			Plan:    &Plan{State: Go, Blocks: []PlanBlock{over}},
			Changes: []BlockChange{{Change: "kept", Reason: window.WhyUnlogged.String(), Before: &over}},
		}
		for _, x := range c.ahead {
			x.From, x.To = clock(t, "2026-09-10 07:00"), clock(t, "2026-09-10 09:00")
			m.Plan.Blocks = append(m.Plan.Blocks, x)
		}
		w := NewWeek(b.f)
		w.TakeMoved(b.f, m)
		assert.Equal(t, c.want, w.Verdict, name)
	}
}

// Forty good minutes within a run of marginal hours are no go: work begun in them
// runs on into hours that need a yes. A small panel that is done in them is another
// matter.
func TestWeekVerdict_AGoBlockIsGoThroughout(t *testing.T) {
	const within = night + "m wind_max 08:40;g none 09:20;m wind_max 13:00;x hours end"
	for name, c := range map[string]struct {
		row    string
		area   float64
		accept bool
		want   string
		state  string // of the headline's windows together
	}{
		"forty minutes in marginal hours": {within, 18, false, Marginal, "marginal"},
		"with the yes to marginal work":   {within, 18, true, Go, "marginal"},
		"a panel that takes half an hour": {within, 2, false, Go, "go"},
		"a panel without a size":          {within, 0, false, Marginal, "marginal"},
		"two hours of ideal and go":       {night + "m wind_max 08:40;g none 09:40;i none 10:40;m wind_max 13:00;x hours end", 18, false, Go, "go"},
		"two good hours, not together":    {night + "g none 08:00;m wind_max 12:00;g none 13:00;x hours end", 18, false, Marginal, "marginal"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, "seal")
			b.f.Classes.(classes)["seal-class"] = products.Class{ID: "seal-class", Do: "seal", People: 1, RateUnit: "m2",
				RateM2H: products.Range{Given: true, Min: 4, Max: 4}}
			b.f.Job.Zones[0].AreaM2, b.f.Job.AcceptMargin = c.area, c.accept
			b.row("seal", "port side", c.row)
			assert.Equal(t, c.want, newBuilder(b.f).weekVerdict(nil))
			h := headed(b.f)
			worst, all := "go", 0
			for _, w := range h.Best {
				if w.State == "marginal" {
					worst = "marginal"
				}
				all += int(w.To.Sub(w.From).Minutes())
			}
			assert.Equal(t, c.state, worst)
			if worst == "marginal" {
				first, last := h.Best[0], h.Best[len(h.Best)-1]
				assert.Equal(t, int(last.To.Sub(first.From).Minutes()), all, "the short good part is not left out of the middle")
			}
		})
	}
}

// A forecast that covers no working hours leaves nothing but data against a step.
func TestNothingButData(t *testing.T) {
	for text, want := range map[string]string{
		"x hours +20:30;u data end":              Unknown,
		"x film 07:00;x hours +20:30;u data end": NoGo,
	} {
		b := newBoard(t, "seal")
		class := products.Class{ID: "seal-class", RainFree: products.Clock{Given: true, Default: 4}}
		b.f.Classes = classes{"seal-class": class}
		b.row("seal", "port side", text)
		assert.Equal(t, want, newBuilder(b.f).weekVerdict(nil), text)
	}
}

func TestOneZoneIsEnough(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"x film 18:00;x hours end")
	b.row("seal", "foredeck", night+"g none 12:00;x hours end")
	assert.Equal(t, Go, newBuilder(b.f).weekVerdict(nil))
}

func TestMorningVerdict(t *testing.T) {
	no := asked{now: verdict.NoGo, later: -1}
	with := func(change func(*asked)) asked {
		a := no
		change(&a)
		return a
	}
	now := func(s verdict.State) asked { return with(func(a *asked) { a.now = s }) }
	later := func(slot int) asked { return with(func(a *asked) { a.later = slot }) }
	marginal := with(func(a *asked) { a.now, a.marginal = verdict.Marginal, true })
	marginalLater := with(func(a *asked) { a.marginal = true })
	unknown := with(func(a *asked) { a.now, a.unknown = verdict.Unknown, true })
	for name, c := range map[string]struct {
		list     []asked
		workable verdict.State
		want     string
		slot     int
	}{
		"nothing asked":              {nil, verdict.Go, NoGo, -1},
		"go now":                     {[]asked{no, now(verdict.Go)}, verdict.Go, Go, -1},
		"ideal now":                  {[]asked{now(verdict.Ideal)}, verdict.Go, Go, -1},
		"go outranks waiting":        {[]asked{later(60), now(verdict.Go)}, verdict.Go, Go, -1},
		"wait for the first":         {[]asked{no, later(70), later(60)}, verdict.Go, Wait, 60},
		"wait outranks marginal":     {[]asked{marginal, later(60)}, verdict.Go, Wait, 60},
		"only consent is missing":    {[]asked{no, marginal}, verdict.Go, Marginal, -1},
		"marginal with consent":      {[]asked{no, marginal}, verdict.Marginal, Go, -1},
		"marginal later":             {[]asked{marginalLater}, verdict.Go, Marginal, -1},
		"marginal outranks unknown":  {[]asked{unknown, marginal}, verdict.Go, Marginal, -1},
		"unknown outranks no-go":     {[]asked{no, unknown}, verdict.Go, Unknown, -1},
		"unknown is never workable":  {[]asked{unknown}, verdict.Marginal, Unknown, -1},
		"no-go":                      {[]asked{no, no}, verdict.Go, NoGo, -1},
		"no-go is never workable":    {[]asked{no}, verdict.Marginal, NoGo, -1},
		"consent does not help data": {[]asked{no, unknown}, verdict.Marginal, Unknown, -1},
	} {
		got, slot := morningVerdict(c.list, c.workable)
		assert.Equal(t, c.want, got, name)
		assert.Equal(t, c.slot, slot, name)
	}
}
