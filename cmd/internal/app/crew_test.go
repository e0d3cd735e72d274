package app_test

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const crewed = "crew: Ada and Ben\n"

// oneBoat asks of a boat of that name, with more in her job's file, in a book.
func oneBoat(t *testing.T, b *book.Book, now, name, more string) (*app.App, app.Request) {
	t.Helper()
	text := strings.Replace(twoSteps, "Kittiwake", name, 1) + more
	made := monday // the same weather all day
	if at(t, now).Sub(at(t, monday)) > 12*time.Hour {
		made = now
	}
	f := weather(t, made)
	f.Members = f.Members[:2] // judged more quickly than eleven
	a, r := fixture{now: now, forecast: f, job: text}.app(t)
	a.Book, a.Version = app.Stored{Book: b}, "v1.2.3"
	a.Unrecorded = func(err error) { assert.NoError(t, err) }
	r.File = &app.JobFile{Name: "job.yaml", Data: []byte(text)}
	return a, r
}

func weekOf(t *testing.T, b *book.Book, now, name, more string) *answer.Week {
	t.Helper()
	a, r := oneBoat(t, b, now, name, more)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	return w
}

// twice are people whom two plans have at the same hours, or on the way.
func twice(a, b *answer.Plan) bool {
	c := answer.Crew{ChangeMin: 30}
	for _, x := range a.Blocks {
		c.Away = append(c.Away, answer.Away{Boat: "the other", From: x.From, To: x.To, People: x.People})
	}
	for i := range b.Blocks {
		if c.On(&b.Blocks[i]) != "" {
			return true
		}
	}
	return false
}

// The plan of one boat takes her crew from the other's, and from a third one's, each from
// both; nobody is booked twice, whoever is asked next.
func TestCrew_PlansAroundEachOther(t *testing.T) {
	b := newBook(t)
	one := weekOf(t, b, monday, "Kittiwake", crewed)
	assert.Nil(t, one.Crew)
	two := weekOf(t, b, monday, "Tern", crewed)
	require.NotNil(t, two.Crew)
	assert.Len(t, two.Crew.Away, len(one.Plan.Blocks))
	require.NotEmpty(t, two.Plan.Blocks)
	assert.False(t, twice(one.Plan, two.Plan))
	three := weekOf(t, b, monday, "Plover", crewed)
	require.NotEmpty(t, three.Plan.Blocks)
	assert.False(t, twice(one.Plan, three.Plan) || twice(two.Plan, three.Plan))
	again := weekOf(t, b, monday, "Kittiwake", crewed)
	assert.Len(t, again.Crew.Away, len(two.Plan.Blocks)+len(three.Plan.Blocks))
	assert.False(t, twice(again.Plan, two.Plan) || twice(again.Plan, three.Plan))
	assert.Equal(t, one.Windows, again.Windows, "the weather is the same")

	free := weekOf(t, newBook(t), monday, "Tern", crewed)
	assert.True(t, twice(one.Plan, free.Plan), "each by herself would want the same hours")
}

// The same of three whole boats, whose people are at machines besides: no person works them
// for more than four hours a day, on whichever boats.
func TestCrew_ThreeWholeBoats(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	type personDay struct {
		person int
		day    string
	}
	var plans []*answer.Plan
	hours := map[personDay]float64{}
	for _, name := range []string{"Kittiwake", "Tern", "Plover"} {
		text := strings.Replace(string(demo.JobFile()), "name: Kittiwake", "name: "+name, 1) + crewed
		f := weather(t, monday)
		f.Members = f.Members[:2]
		a, r := fixture{now: monday, forecast: f, job: text}.app(t)
		a.Book, a.Version, r.File = app.Stored{Book: b}, "v1.2.3", &app.JobFile{Name: name + ".yaml", Data: []byte(text)}
		w, err := a.Week(t.Context(), r)
		require.NoError(t, err)
		require.NotEmpty(t, w.Plan.Blocks, name)
		for _, other := range plans {
			assert.False(t, twice(other, w.Plan), name)
		}
		plans = append(plans, w.Plan)
		for _, x := range w.Plan.Blocks {
			c, ok := a.Classes.Class(x.Product)
			require.True(t, ok)
			for _, p := range x.People {
				if c.Machine {
					hours[personDay{p, x.From.Format(time.DateOnly)}] += x.WorkTo.Sub(x.From).Hours()
				}
			}
		}
	}
	require.NotEmpty(t, hours)
	for k, h := range hours {
		assert.LessOrEqual(t, h, 4+1e-9, "%+v", k)
	}
}

// Without another plan a crew changes no byte, and without a crew no other plan does.
func TestCrew_ChangesNothingByItself(t *testing.T) {
	alone := jsonOf(t, weekOf(t, newBook(t), monday, "Tern", ""))
	assert.Equal(t, alone, jsonOf(t, weekOf(t, newBook(t), monday, "Tern", crewed)))
	b := newBook(t)
	weekOf(t, b, monday, "Kittiwake", crewed)
	assert.Equal(t, alone, jsonOf(t, weekOf(t, b, monday, "Tern", "")))
	assert.Equal(t, alone, jsonOf(t, weekOf(t, b, monday, "Tern", "crew: Cleo\n")))
	assert.NotEqual(t, alone, jsonOf(t, weekOf(t, b, monday, "Tern", crewed)))
}

// One job under two names of its file is one job, and takes nobody from itself; which crew
// it has is as it was last asked, though the very text is older.
func TestCrew_OfTheNewestWord(t *testing.T) {
	b := newBook(t)
	weekOf(t, b, monday, "Kittiwake", crewed)
	a, r := oneBoat(t, b, monday, "Kittiwake", crewed)
	r.File.Name = "copy.yaml"
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	assert.Nil(t, w.Crew)
	weekOf(t, b, monday, "Kittiwake", "")
	assert.Nil(t, weekOf(t, b, monday, "Tern", crewed).Crew, "she has no crew any longer")
	weekOf(t, b, monday, "Kittiwake", crewed)
	assert.NotNil(t, weekOf(t, b, monday, "Tern", crewed).Crew)
}

// Fewer people than the other plan has: only those of the same numbers are missed, and a
// person whom this job has on other days only is missed on those.
func TestCrew_FewerPeople(t *testing.T) {
	b := newBook(t)
	weekOf(t, b, monday, "Kittiwake", crewed)
	a, r := oneBoat(t, b, monday, "Tern", "")
	text := strings.Replace(string(r.File.Data), "people: 2", "people: 1", 1) + crewed
	f := fixture{now: monday, forecast: weather(t, monday), job: text}
	one, q := f.app(t)
	one.Book, q.File = a.Book, &app.JobFile{Name: "job.yaml", Data: []byte(text)}
	w, err := one.Week(t.Context(), q)
	require.NoError(t, err)
	require.NotNil(t, w.Crew)
	for _, x := range w.Crew.Away {
		assert.Equal(t, []int{1}, x.People)
	}
}

// A plan that holds is told where it has people who are on another boat by now: two plans
// that were made before their jobs named a crew.
func TestCrew_HeldPlanThatIsBookedTwice(t *testing.T) {
	b := newBook(t)
	one := weekOf(t, b, monday, "Kittiwake", "")
	weekOf(t, b, monday, "Tern", "")
	now := one.Plan.Blocks[0].From.Add(10 * time.Minute).Format(time.RFC3339)
	tern, q := oneBoat(t, b, now, "Tern", crewed)
	_, err := tern.Morning(t.Context(), q) // from now on the book knows of her crew
	require.NoError(t, err)
	a, r := oneBoat(t, b, now, "Kittiwake", crewed)
	r.Hold = true
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	require.NotNil(t, w.Plan.Held)
	assert.Contains(t, strings.Join(w.Warnings, "\n"), "its people are on Tern (Wash and seal the side) then, or on the way")
	owner := strings.Join(w.Plan.ForOwner, "\n")
	assert.Contains(t, owner, "the plan of Mon 7 Sep 06:00 does not hold: ")
	assert.Contains(t, owner, "its people are on another boat then, or on the way")
	assert.NotContains(t, owner, "Tern")
}

// Such a plan is moved off the hours of the other, and each block that moves for it says so.
func TestCrew_MovedOffTheOtherBoat(t *testing.T) {
	b := newBook(t)
	weekOf(t, b, monday, "Kittiwake", "")
	weekOf(t, b, monday, "Tern", "")
	now := "2026-09-07T06:10:00-04:00"
	tern, q := oneBoat(t, b, now, "Tern", crewed)
	_, err := tern.Morning(t.Context(), q)
	require.NoError(t, err)
	a, r := oneBoat(t, b, now, "Kittiwake", crewed)
	m, err := a.Move(t.Context(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	require.NotNil(t, m.Crew)
	away := &answer.Plan{}
	for _, x := range m.Crew.Away {
		away.Blocks = append(away.Blocks, answer.PlanBlock{From: x.From, To: x.To, People: x.People})
	}
	assert.NotEmpty(t, m.Plan.Blocks)
	assert.False(t, twice(away, m.Plan), "it is moved off them")
	said := ""
	for _, c := range m.Changes {
		said += c.Text + "\n"
	}
	assert.Contains(t, said, "its people are on Tern (Wash and seal the side) then, or on the way")
}

// Work that is not in the plan any longer takes nobody: what a move gave up, and what of
// the plan in force is over.
func TestCrew_OnlyThePlanInForce(t *testing.T) {
	b := newBook(t)
	one := weekOf(t, b, monday, "Kittiwake", crewed)
	last := one.Plan.Blocks[len(one.Plan.Blocks)-1].To
	after := weekOf(t, b, last.Format(time.RFC3339), "Tern", crewed)
	assert.Nil(t, after.Crew)
	before := weekOf(t, b, last.Add(-10*time.Minute).Format(time.RFC3339), "Tern", crewed)
	require.NotNil(t, before.Crew)
	assert.Len(t, before.Crew.Away, 1)

	// A move that found no plan leaves none in force.
	b = newBook(t)
	weekOf(t, b, monday, "Kittiwake", crewed)
	a, _ := oneBoat(t, b, "2026-09-07T07:00:00-04:00", "Kittiwake", "")
	text := strings.Replace(twoSteps, `hours: "07:00-18:00"`, "hours: none", 1) + crewed
	_, r := fixture{now: monday, forecast: weather(t, monday), job: text}.app(t)
	r.File = &app.JobFile{Name: "job.yaml", Data: []byte(text)}
	m, err := a.Move(t.Context(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	require.Equal(t, answer.None, m.Plan.State)
	assert.Nil(t, weekOf(t, b, "2026-09-07T07:10:00-04:00", "Tern", crewed).Crew)
}

// What her own plan takes for the whole, this one does too: nobody comes back for the last
// hundredth of a side.
func TestCrew_NearlyAllIsAll(t *testing.T) {
	t.Parallel()
	for share, gone := range map[float64]int{1: 1, 0.99: 1, 0.6: 0} {
		b := newBook(t)
		one := weekOf(t, b, monday, "Kittiwake", crewed)
		first := one.Plan.Blocks[0]
		begun := first.From.Add(time.Minute).Format(time.RFC3339)
		before := weekOf(t, b, begun, "Tern", crewed)
		require.NotNil(t, before.Crew)
		a, r := oneBoat(t, b, begun, "Kittiwake", crewed)
		_, err := a.LogDone(t.Context(), app.DoneRequest{Request: r, Step: first.Step, Zones: []string{first.Zone}, Share: share, At: on(begun)})
		require.NoError(t, err)
		after := weekOf(t, b, begun, "Tern", crewed)
		require.NotNil(t, after.Crew)
		assert.Len(t, after.Crew.Away, len(before.Crew.Away)-gone, "%g", share)
	}
}

// The mark by which answers are made anew changes with the other boat's plan, and with
// nothing else: not when the same plan is made anew, nor as time goes on.
func TestCrewMark(t *testing.T) {
	b := newBook(t)
	mark := func(now string) string {
		a, r := oneBoat(t, b, now, "Tern", crewed)
		m, err := a.CrewMark(t.Context(), r)
		require.NoError(t, err)
		return m
	}
	assert.Empty(t, mark(monday))
	weekOf(t, b, monday, "Kittiwake", crewed)
	first := mark(monday)
	require.NotEmpty(t, first)
	one := weekOf(t, b, monday, "Kittiwake", crewed)
	assert.Equal(t, first, mark(monday))
	assert.Equal(t, first, mark(one.Plan.Blocks[0].To.Add(time.Minute).Format(time.RFC3339)))
	weekOf(t, b, monday, "Kittiwake", crewed+"away: [2026-09-07, 2026-09-08, 2026-09-09, 2026-09-10]\n")
	assert.NotEqual(t, first, mark(monday))
	a, r := oneBoat(t, b, monday, "Tern", "")
	m, err := a.CrewMark(t.Context(), r)
	require.NoError(t, err)
	assert.Empty(t, m, "a job without a crew")
}

// A page of the book that cannot be read is not passed over: what is asked ends in the
// book's own word. A job that this dewgap cannot read is named in the answer.
func TestCrew_NothingIsMissedInSilence(t *testing.T) {
	b := newBook(t)
	weekOf(t, b, monday, "Kittiwake", crewed)
	a, r := oneBoat(t, b, monday, "Tern", crewed)
	whole, failed := a.Book, 0
	a.Unrecorded = nil
	for n := 1; ; n++ {
		tearing := &torn{Book: full{whole, errTorn}, n: n}
		a.Book = tearing
		_, err := a.CrewMark(t.Context(), r)
		if tearing.at == "" {
			require.NoError(t, err)
			break
		}
		failed++
		require.ErrorIs(t, err, book.ErrDamaged, "%d: %s", n, tearing.at)
	}
	assert.Greater(t, failed, 6)

	require.NoError(t, b.Record(t.Context(), func(tx *book.Tx) error {
		boat, err := tx.AddBoat(book.Boat{Name: "Godwit"})
		require.NoError(t, err)
		place, err := tx.AddPlace(book.Place{Name: "Otter Quay", Latitude: 43.07, Longitude: -70.74})
		require.NoError(t, err)
		body, err := tx.AddBody([]byte("crew: [of a later dewgap]\n"))
		require.NoError(t, err)
		j, err := tx.AddJob(book.Job{Name: "Polish", Boat: boat.Key, Place: place.Key, File: "godwit.yaml", Body: body})
		require.NoError(t, err)
		_, err = tx.AddAnswer(book.Answer{Kind: book.Week, Job: j.Key, At: at(t, monday), Program: "v9", Catalogue: "none", Body: body})
		return err
	}))
	w := weekOf(t, b, monday, "Tern", crewed)
	assert.Contains(t, w.Warnings, "the job Polish on Godwit in the book cannot be read: whether it has this crew is not known")
	assert.NotNil(t, w.Crew, "the others count")
}

// Two jobs of one crew that both have work for machines say where they do not count the same
// polishers; where one of them has none, the other's count is no matter of its own.
func TestCrew_CountsItsPolishersAlike(t *testing.T) {
	t.Parallel()
	correct := strings.Replace(twoSteps, "{do: seal, with: polymer-sealant}", "{do: correct, with: compound-rotary}", 1)
	const same = ": write the same `polishers` in both"
	for name, c := range map[string]struct {
		there, here, want string
	}{
		"there alone": {correct + crewed + "polishers: 1\n", correct + crewed, "counts 1 polisher of this crew, this job none" + same},
		"here alone":  {correct + crewed, correct + crewed + "polishers: 1\n", "counts no polishers of this crew, this job 1" + same},
		"otherwise":   {correct + crewed + "polishers: 2\n", correct + crewed + "polishers: 1\n", "counts 2 polishers of this crew, this job 1" + same},
		"alike":       {correct + crewed + "polishers: 1\n", correct + crewed + "polishers: 1\n", ""},
		"unsaid":      {correct + crewed, correct + crewed, ""},
		"none here":   {correct + crewed + "polishers: 1\n", twoSteps + crewed, ""},
		"none there":  {twoSteps + crewed, correct + crewed + "polishers: 1\n", ""},
		"other crews": {correct + "crew: Cleo\npolishers: 1\n", correct + crewed, ""},
	} {
		b := newBook(t)
		week := func(boat, text string) *answer.Week {
			text = strings.Replace(text, "Kittiwake", boat, 1)
			f := weather(t, monday)
			f.Members = f.Members[:2]
			a, r := fixture{now: monday, forecast: f, job: text}.app(t)
			a.Book, a.Version, r.File = app.Stored{Book: b}, "v1.2.3", &app.JobFile{Name: "job.yaml", Data: []byte(text)}
			w, err := a.Week(t.Context(), r)
			require.NoError(t, err)
			return w
		}
		require.NotEmpty(t, week("Tern", c.there).Plan.Blocks, name)
		got := said(week("Kittiwake", c.here))
		if c.want == "" {
			assert.NotContains(t, got, "polisher", name)
		} else {
			assert.Contains(t, got, "Tern (Wash and seal the side) "+c.want, name)
			assert.Equal(t, 1, strings.Count(got, "polisher of")+strings.Count(got, "polishers of"), name)
		}
	}
}
