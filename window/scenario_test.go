package window_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// TestScenarios holds the trade's worked days against both models.
func TestScenarios(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../testdata/scenarios/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	cat, err := products.Catalogue()
	require.NoError(t, err)
	for _, file := range files {
		s := readScenario(t, file)
		name := strings.TrimSuffix(filepath.Base(file), ".txt")
		for _, e := range s.expects {
			title := fmt.Sprintf("%s/%s on %s day %d", name, e.class, e.zone, e.day)
			t.Run(title+"/hand check", func(t *testing.T) {
				day := s.states(t, cat, e, surface.HandCheck(), surface.Slot)
				for _, l := range e.lines {
					checkLine(t, l, day, 20)
				}
			})
			for step, how := range map[time.Duration]string{surface.Slot: "full", time.Hour: "full from hours"} {
				t.Run(title+"/"+how, func(t *testing.T) {
					for _, l := range e.lines {
						checkLine(t, l, s.states(t, cat, e, l.off, step), 75)
					}
				})
			}
		}
	}
}

// slotState is what the answer says of one slot of the expected day.
type slotState struct {
	state verdict.State
	limit string
	text  string
}

const slotsADay = 24 * surface.PerHour

// states are the 144 slots of the expected day.
func (s *scenario) states(t *testing.T, cat window.Classes, e expect, m surface.Model, step time.Duration) []slotState {
	t.Helper()
	r, err := window.Evaluate(window.Input{
		Forecast: s.forecast(step), Job: s.job(e), Classes: cat, Location: s.loc,
		Now: s.day, Model: m,
	})
	require.NoError(t, err)
	require.Len(t, r.Rows, 1, "is there a zone %q?", e.zone)
	out := make([]slotState, slotsADay)
	first := r.Grid.Index(s.day.AddDate(0, 0, e.day-1))
	fill := func(run verdict.Run) {
		for i := max(run.From, first); i < min(run.To, first+slotsADay); i++ {
			b := run.Binding
			out[i-first] = slotState{run.State, run.Limit.String(), fmt.Sprintf("%s %.2f/%.2f", b.Limit, b.Value, b.Bound)}
		}
	}
	for _, w := range r.Rows[0].Windows {
		fill(w.Run)
	}
	for _, x := range r.Rows[0].Refusals {
		fill(x)
	}
	return out
}

func checkLine(t *testing.T, l line, day []slotState, tolerance int) {
	t.Helper()
	if !l.never {
		checkRun(t, l, day, tolerance)
		return
	}
	for i, x := range day {
		require.Falsef(t, sameState(x.state, l.state), "%s: at %s\n%s", l.text, hhmm(i*10), strip(day))
	}
}

// sameState: an ideal slot is a go slot.
func sameState(got, want verdict.State) bool {
	return got == want || (want == verdict.Go && got == verdict.Ideal)
}

// checkRun finds the stretch of the expected state nearest to the middle of the
// expected one, and holds its ends against it. For no-go only the inside counts,
// for what lies beside it is no-go by another limit.
func checkRun(t *testing.T, l line, day []slotState, tolerance int) {
	t.Helper()
	first, last := l.first/10, l.last/10
	if l.state == verdict.NoGo {
		for i := first + tolerance/20; i <= last-tolerance/20; i++ {
			require.Equalf(t, l.state, day[i].state, "%s: at %s\n%s", l.text, hhmm(i*10), strip(day))
		}
		checkLimits(t, l, day, (first+last)/2)
		return
	}
	switch {
	case l.first < 0:
		first = last
	case l.last < 0:
		last = first
	}
	middle := nearest(day, l.state, (first+last)/2)
	require.GreaterOrEqualf(t, middle, 0, "%s: never\n%s", l.text, strip(day))
	a, b := middle, middle
	for a > 0 && sameState(day[a-1].state, l.state) {
		a--
	}
	for b+1 < len(day) && sameState(day[b+1].state, l.state) {
		b++
	}
	if l.first >= 0 {
		require.InDeltaf(t, l.first, a*10, float64(tolerance), "%s: begins %s, ends %s\n%s", l.text, hhmm(a*10), hhmm(b*10), strip(day))
	}
	if l.last >= 0 {
		require.InDeltaf(t, l.last, b*10, float64(tolerance), "%s: begins %s, ends %s\n%s", l.text, hhmm(a*10), hhmm(b*10), strip(day))
	}
	checkLimits(t, l, day, (a+b)/2)
}

func checkLimits(t *testing.T, l line, day []slotState, i int) {
	t.Helper()
	if len(l.limits) > 0 {
		require.Truef(t, slices.Contains(l.limits, day[i].limit), "%s: at %s it is %s\n%s", l.text, hhmm(i*10), day[i].text, strip(day))
	}
}

func nearest(day []slotState, s verdict.State, middle int) int {
	for d := range len(day) {
		for _, i := range []int{middle - d, middle + d} {
			if i >= 0 && i < len(day) && sameState(day[i].state, s) {
				return i
			}
		}
	}
	return -1
}

func hhmm(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }

// strip shows the day's runs with what decides them.
func strip(day []slotState) string {
	var b strings.Builder
	for i := 0; i < len(day); {
		k := i
		for k < len(day) && day[k] == day[i] {
			k++
		}
		fmt.Fprintf(&b, "  %s-%s %s by %s\n", hhmm(i*10), hhmm((k-1)*10), day[i].state, day[i].text)
		i = k
	}
	return b.String()
}
