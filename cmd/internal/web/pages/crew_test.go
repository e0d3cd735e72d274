package pages

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/require"
)

// Where the crew is on another boat every page says so that a person plans by: the week,
// the morning, with what it waits for, and the page after rain, with the next work there.
func TestTheOtherBoatIsTold(t *testing.T) {
	quay, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	at := func(h float64) time.Time { return six.In(quay).Add(time.Duration(h * float64(time.Hour))) }
	crew := &answer.Crew{Name: "Ada & Ben", ChangeMin: 30, Holds: true, Away: []answer.Away{
		{Job: "Wash and seal", Boat: "Tern", From: at(1.5), To: at(5), People: []int{1, 2}, Step: "wash", Zone: "port side"},
	}}
	const hours = "Crew Ada & Ben on Tern (Wash and seal): Tue 8 Sep 07:30-11:00 (1+2). Not booked here then, nor for 30 min before and after."
	s := telling(t, "", func(d *tale) {
		d.week = func(w *answer.Week) { w.Crew = crew }
		d.morning = func(m *answer.Morning) {
			m.Crew, m.Verdict, m.WaitUntil = crew, answer.Wait, ptr(at(5.5))
		}
		w, err := d.Desk.Week(t.Context(), "kittiwake")
		require.NoError(t, err)
		d.move = aMove(w)
		d.move.Crew = crew
	})
	says(t, decent(t, "/week", s.get("/week/kittiwake").Body.String()).named("main")[0].text(), hours)
	says(t, decent(t, "/morning", s.get("/morning/kittiwake").Body.String()).named("main")[0].text(), hours, "until 11:30",
		"the crew is on Tern (Wash and seal) 07:30-11:00 (1+2)")
	says(t, decent(t, "/move", s.get("/move/kittiwake").Body.String()).named("main")[0].text(), hours, "The other boat",
		"Tern (Wash and seal): next by its plan: wash, port side, Tue 8 Sep 07:30-11:00 (1+2).")

	s = telling(t, "", func(d *tale) {
		d.morning = func(m *answer.Morning) { m.Crew, m.Verdict, m.WaitUntil = crew, answer.NoGo, nil }
	})
	says(t, decent(t, "/morning", s.get("/morning/kittiwake").Body.String()).named("main")[0].text(),
		"Today the crew is on Tern (Wash and seal) 07:30-11:00 (1+2).")
}
