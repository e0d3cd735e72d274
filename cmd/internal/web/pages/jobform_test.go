package pages

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"dewgap/window/boat"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// editing posts a form of the job's page.
func (s *stand) editing(pairs ...string) (status int, page string) {
	f := url.Values{"tag": {s.tag()}}
	for i := 0; i < len(pairs); i += 2 {
		f.Set(pairs[i], pairs[i+1])
	}
	w := s.post("/job/kittiwake", f)
	return w.Code, w.Body.String()
}

// input finds a field by its id.
func input(t testing.TB, root *node, id string) *node {
	list := root.all(func(n *node) bool { return n.attr["id"] == id })
	require.Len(t, list, 1, id)
	return list[0]
}

func TestTiltAndFacingAreEdited(t *testing.T) {
	s := standing(t, nil)
	before := s.text()
	root := decent(t, "/job", s.get("/job/kittiwake").Body.String())
	assert.Equal(t, "270", input(t, root, "faces0").attr["value"])
	assert.Equal(t, "90", input(t, root, "tilt0").attr["value"])

	status, _ := s.editing("op", "zone", "index", "0", "zone", "port side", "tilt", "82,5", "faces", "265")
	require.Equal(t, http.StatusSeeOther, status)
	assert.Equal(t, before+"zones:\n  - {name: port side, tilt: 82.5, faces: 265}\n", s.text())
	root = parsePage(t, s.get("/job/kittiwake").Body.String())
	assert.Equal(t, "82.5", input(t, root, "tilt0").attr["value"])

	// Sent as it is shown, it changes nothing.
	after := s.text()
	status, _ = s.editing("op", "zone", "index", "0", "zone", "port side", "tilt", "82.5", "faces", "265")
	require.Equal(t, http.StatusSeeOther, status)
	assert.Equal(t, after, s.text())

	// A point of the compass is a facing too; with the bow at 200° it is shown from there.
	status, _ = s.editing("op", "zone", "index", "0", "zone", "port side", "faces", "NW")
	require.Equal(t, http.StatusSeeOther, status)
	assert.Contains(t, s.text(), "faces: NW")
	assert.Equal(t, "115", input(t, parsePage(t, s.get("/job/kittiwake").Body.String()), "faces0").attr["value"])
}

func TestDatesAreEdited(t *testing.T) {
	s := standing(t, func(text string) string {
		return strings.Replace(text, "people: 2", "people: 2   # Ada and Ben", 1)
	})
	days := func() (from, by string) {
		root := decent(t, "/job", s.get("/job/kittiwake").Body.String())
		assert.Equal(t, "date", input(t, root, "from").attr["type"])
		return input(t, root, "from").attr["value"], input(t, root, "by").attr["value"]
	}
	before := s.text()
	from, by := days()
	status, _ := s.editing("op", "dates", "from", from, "by", by)
	require.Equal(t, http.StatusSeeOther, status)
	assert.Equal(t, before, s.text(), "nothing was changed")

	status, _ = s.editing("op", "dates", "from", "2026-09-09", "by", "2026-09-12")
	require.Equal(t, http.StatusSeeOther, status)
	f, b := days()
	assert.Equal(t, "2026-09-09 2026-09-12", f+" "+b)
	assert.Contains(t, s.text(), "# Ada and Ben")
	week, err := s.desk.Week(t.Context(), "kittiwake")
	require.NoError(t, err)
	assert.Equal(t, "2026-09-09", week.Answer.From.Format("2006-01-02"))

	status, _ = s.editing("op", "dates", "from", "", "by", "")
	require.Equal(t, http.StatusSeeOther, status)
	f, b = days()
	assert.Equal(t, " ", f+" "+b)
	status, _ = s.editing("op", "dates", "from", from, "by", by)
	require.Equal(t, http.StatusSeeOther, status)
	f, b = days()
	assert.Equal(t, from+" "+by, f+" "+b)
}

// What the reader of job files refuses is told in its words beside the field, with what
// was filled in still there, and nothing is saved.
func TestAWrongValueIsToldBesideItsField(t *testing.T) {
	s := standing(t, nil)
	before := s.text()
	for _, c := range []struct{ op, id, name, value, words string }{
		{"zone", "tilt0", "tilt", "190", "Tilt"},
		{"zone", "tilt0", "tilt", "steep", "Tilt"},
		{"zone", "faces0", "faces", "400", "Faces"},
		{"zone", "faces0", "faces", `"><script>alert(1)</script>`, "Faces"},
		{"zone", "area0", "area", "0.00001", "Area"},
		{"dates", "from", "from", "2026-02-30", "is no day of the calendar: 2026-02-30"},
		{"dates", "by", "by", "tomorrow", "is no day of the calendar: tomorrow"},
		{"dates", "by", "by", "2026-09-01", "is before from"},
	} {
		name := c.name + " " + c.value
		pairs := []string{"op", c.op, c.name, c.value}
		if c.op == "zone" {
			pairs = append(pairs, "index", "0", "zone", "port side")
		} else if c.name == "by" {
			pairs = append(pairs, "from", "2026-09-07")
		}
		status, page := s.editing(pairs...)
		require.Equal(t, http.StatusUnprocessableEntity, status, name)
		root := decent(t, name, page)
		says(t, root.text(), "Nothing was saved: look at what is marked below.")
		field := input(t, root, c.id)
		assert.Equal(t, c.value, field.attr["value"], name)
		assert.Equal(t, "true", field.attr["aria-invalid"], name)
		says(t, input(t, root, field.attr["aria-describedby"]).text(), c.words)
		assert.Equal(t, before, s.text(), name)
	}
	assert.Empty(t, s.faults)
}

// A mistake that is of no field of the form is told above, with the lines.
func TestMarkedWantsAFieldForEachMistake(t *testing.T) {
	f := url.Values{"op": {"zone"}, "index": {"3"}, "tilt": {"x"}}
	w, ok := marked(f, job.Errors{{Message: "`tilt` needs a number", Fix: "write 90"}, {Message: "`tilt` again"}}, fieldsOf("zone"))
	require.True(t, ok)
	assert.Equal(t, field{"x", "Tilt needs a number: write 90. Tilt again."}, w.Field("zone", "3", "tilt", "90"))
	assert.Equal(t, field{Now: "90"}, w.Field("zone", "2", "tilt", "90"), "of another zone")
	assert.Equal(t, field{Now: ""}, w.Field("zone", "3", "faces", "270"), "as it was given: empty")
	_, ok = marked(f, job.Errors{{Message: "`tilt` is wrong"}, {Message: "`people` is wrong"}}, fieldsOf("zone"))
	assert.False(t, ok)
	_, ok = marked(f, job.Errors{{Message: "wrong"}}, fieldsOf("step"))
	assert.False(t, ok)
	var none wrongForm
	assert.False(t, none.Is("", ""))
}

// Whatever zone there is, the form that is sent as it was shown says what it said.
func TestFacingIsReadAsItIsShown(t *testing.T) {
	classes := standing(t, nil).desk.Classes()
	rapid.Check(t, func(t *rapid.T) {
		z := boat.Zone{Tilt: float64(rapid.IntRange(0, 1800).Draw(t, "tilt")) / 10, Faces: float64(rapid.IntRange(0, 3599).Draw(t, "faces")) / 10}
		if rapid.Bool().Draw(t, "point") {
			z.FacesTrue, z.Faces = true, 22.5*float64(rapid.IntRange(0, 15).Draw(t, "n"))
		}
		faces, bow := "", ", bow: 200"
		if z.FacesTrue { // as they are where nobody knows the bow
			bow = ""
		}
		if f := facing(z); f != "" {
			faces = ", faces: " + f
		}
		text := fmt.Sprintf("job: x\nplace: {latitude: 43, longitude: -70, timezone: America/New_York}\nboat: {name: Kittiwake%s}\n"+
			"zones:\n  - {name: a, tilt: %s%s, finish: teak}\nsteps:\n  - {do: wash, with: soap-wash}\n", bow, tilted(z), faces)
		j, err := job.Parse("x.yaml", []byte(text), classes, job.Options{})
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		got := j.Zones[0]
		if got.Tilt != z.Tilt || got.FacesTrue != z.FacesTrue || got.Faces != z.Faces {
			t.Fatalf("%+v was read as %+v", z, got)
		}
	})
}
