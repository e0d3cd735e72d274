package answer

import (
	"testing"

	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var sevenToSix = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 7 * 60, To: 18 * 60}}}

// What is put on has to haze and be wiped off before the crew goes home. The morning says
// so as the week does: a last start at which the last section would be left hazing over
// night is none, and neither does work begin where that is all that is left of the day.
func TestMorning_WipedBeforeTheCrewLeaves(t *testing.T) {
	const day = night + "g none 16:00;m wind_max 18:00" + tomorrow
	at := func(now string, accept bool) (*Morning, MorningStep) {
		b := newBoard(t, "seal")
		b.f.Classes = classes{"seal-class": products.Class{ID: "seal-class", Do: "seal", People: 1, RateUnit: "m2",
			RateM2H: products.Range{Given: true, Min: 20, Max: 20}}}
		b.f.Now, b.f.Job.AcceptMargin, b.f.Job.Zones[0].AreaM2, b.f.Job.Hours = clock(t, "2026-09-10 "+now), accept, 2, sevenToSix
		b.f.Job.Steps[0].HazeMin = 60
		b.row("seal", "port side", day)
		m := NewMorning(b.f)
		return m, m.Steps[0]
	}
	_, s := at("13:00", false)
	assert.Equal(t, "go", s.State)
	assert.Nil(t, s.LastSection, "there is time after its last start")
	assert.Equal(t, "15:50", s.Until().Format("15:04"))
	assert.Equal(t, "wind over 4 m/s at the panel, from 16:00; with your yes until 16:50", s.Change)

	m, s := at("16:30", true)
	require.NotNil(t, s.LastSection)
	assert.Equal(t, []string{"marginal", "17:50", "16:50", "18:00"},
		[]string{s.State, s.Last.Format("15:04"), s.LastSection.Format("15:04"), s.WipeBy.Format("15:04")}, "the stretch is told as it is, beside its last section")
	last, _ := m.LastStart(func(MorningStep) bool { return true })
	assert.Equal(t, "16:50", last.Format("15:04"))
	assert.Equal(t, Go, m.Verdict)

	for _, accept := range []bool{false, true} {
		m, s = at("17:20", accept)
		assert.Equal(t, []string{NoGo, "no-go", "haze"}, []string{m.Verdict, s.State, s.Binding.Limit})
		assert.Equal(t, "only 30 min to wipe it off, needs 60", s.Binding.Text)
		assert.InDelta(t, 30, *s.Binding.Value, 0)
		assert.InDelta(t, 60, *s.Binding.Bound, 0)
		assert.Nil(t, s.First)
		assert.Empty(t, s.Chances)
	}
}

// Hours of the day that come again are told with their last section too.
func TestMorning_AgainIsWiped(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Job.Hours, b.f.Now = sevenToSix, clock(t, "2026-09-10 07:00")
	b.f.Job.Steps[0].HazeMin = 90
	b.row("seal", "port side", night+"g none 11:00;x wind_max 14:00;g none 18:00"+tomorrow)
	s := NewMorning(b.f).Steps[0]
	assert.Equal(t, "10:50", s.Until().Format("15:04"))
	assert.Equal(t, "from 14:00, last section on 16:20", s.Again())
	b.f.Result.Rows[0].Section = make([]float32, b.f.Result.To-b.f.Result.From)
	s = NewMorning(b.f).Steps[0]
	assert.Equal(t, "from 14:00, last start 17:50", s.Again(), "a wash is rinsed at once")
}
