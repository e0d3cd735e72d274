package pages

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// shownIn are the values that the forms to a path show: of inputs, ticked boxes, chosen
// options and texts.
func shownIn(root *node, action string) url.Values {
	out := url.Values{}
	for _, form := range root.all(func(n *node) bool { return n.name == "form" && n.attr["action"] == action }) {
		for _, n := range form.named("input", "textarea") {
			_, ticked := n.attr["checked"]
			switch {
			case n.attr["type"] == "checkbox" && !ticked || n.attr["type"] == "hidden":
			case n.name == "textarea":
				out.Add(n.attr["name"], n.raw())
			default:
				out.Add(n.attr["name"], n.attr["value"])
			}
		}
		for _, n := range form.named("select") {
			for _, o := range n.named("option") {
				if _, chosen := o.attr["selected"]; chosen {
					value, has := o.attr["value"]
					if !has {
						value = o.text()
					}
					out.Add(n.attr["name"], value)
				}
			}
		}
	}
	return out
}

// beside is what stands beside a field of a page, which has to be marked as wrong.
func beside(t testing.TB, root *node, id string) string {
	t.Helper()
	n := input(t, root, id)
	assert.Equal(t, "true", n.attr["aria-invalid"], "%s is not marked", id)
	return input(t, root, n.attr["aria-describedby"]).text()
}

// Whatever is wrong with a field is said in plain words beside it, and in the alert on
// top to which the focus goes; all that was filled in is still there, and nothing is
// written down.
func TestWhatIsWrongIsSaidBesideItsField(t *testing.T) {
	s := small(t)
	morning := url.Values{"air": {"15"}, "humidity": {"90"}, "wind": {"2"}, "sky": {"clear"}, "salt": {"no"}, "spray": {"yes"},
		"zone.0": {"port side"}, "wet.0": {"yes"}, "surface.0": {"12"}, "by.0": {"contact"}, "sun.0": {"no"}}
	log := url.Values{"step": {"seal"}, "found": {"inspect"}, "share": {"50"}, "date": {"2026-09-07"}, "at": {"16:00"}, "by": {"Ada"}, "zone": {"port side"}, "note": {"thin <coat>"}}
	rain := url.Values{"date": {"2026-09-08"}, "from": {"04:00"}, "to": {"05:00"}, "mm": {"2"}, "left.step.0": {"seal"}, "left.zone.0": {"port side"}, "left.how.0": {"hazing"},
		"left.share.0": {"50"}, "left.from.0": {"03:00"}, "left.to.0": {"03:30"}}
	for _, c := range []struct {
		path        string
		good        url.Values
		field, bad  string
		words, also string // also: another field that changes with it
	}{
		{"/morning/kittiwake", morning, "air", "warm", "The air temperature “warm” is no number. Write it in figures, like 13.4.", ""},
		{"/morning/kittiwake", morning, "air", "99", "Air 99 is out of range. The field is in °C, from -40 to 60.", ""},
		{"/morning/kittiwake", morning, "air", "-80", "Air -80 is out of range.", ""},
		{"/morning/kittiwake", morning, "humidity", "101", "Humidity 101 is out of range. The field is in %, from 1 to 100.", ""},
		{"/morning/kittiwake", morning, "humidity", "wet", "The humidity “wet” is no number.", ""},
		{"/morning/kittiwake", morning, "wind", "-1", "Wind -1 is out of range. The field is in m/s, from 0 to 60.", ""},
		{"/morning/kittiwake", morning, "wind", "force 4", "The wind “force 4” is no number.", ""},
		{"/morning/kittiwake", morning, "surface.0", "120", "Surface of port side 120 is out of range. The field is in °C, from -40 to 95.", ""},
		{"/morning/kittiwake", morning, "surface.0", "hot", "The panel temperature “hot” is no number.", ""},
		{"/morning/kittiwake", morning, "by.0", "hand", "What was port side read with? Choose infrared or contact beside it.", ""},
		{"/log/kittiwake", log, "share", "0", "A share lies above 0 and at most at 100 %. Write half a side as 50.", ""},
		{"/log/kittiwake", log, "share", "half", "The share “half” is no number.", ""},
		{"/log/kittiwake", log, "coat", "first", "The coat “first” is no number.", ""},
		{"/log/kittiwake", log, "coat", "1.5", "That is no coat. Count from 1, the first coat, or leave it empty for all of them.", ""},
		{"/log/kittiwake", log, "coat", "-1", "That is no coat.", ""},
		{"/log/kittiwake", log, "coat", "1", "A coat goes with work done.", ""},
		{"/log/kittiwake", log, "at", "", "A day needs a time.", ""},
		{"/log/kittiwake", log, "at", "25:00", "25:00", ""},
		{"/log/kittiwake", log, "at", "23:59", "2026-09-08T23:59 lies in the future.", "2026-09-08"},
		{"/log/kittiwake", log, "found", "gold", "That is nothing that can be found.", ""},
		{"/log/kittiwake", log, "step", "", "Which step was it? Choose one of the job's steps.", ""},
		{"/move/kittiwake", rain, "from", "", "Rain has a beginning and an end.", ""},
		{"/move/kittiwake", rain, "to", "", "Rain has a beginning and an end.", ""},
		{"/move/kittiwake", rain, "to", "03:00", "The rain ends before it begins.", ""},
		{"/move/kittiwake", rain, "to", "04:00", "The rain ends before it begins.", ""},
		{"/move/kittiwake", rain, "to", "23:00", "lies in the future", ""},
		{"/move/kittiwake", rain, "from", "4 pm", "4 pm", ""},
		{"/move/kittiwake", rain, "mm", "-3", "The amount of rain does not fit.", ""},
		{"/move/kittiwake", rain, "mm", "much", "The amount of rain “much” is no number.", ""},
		{"/move/kittiwake", rain, "left.share.0", "120", "A share lies above 0 and at most at 100 %.", ""},
		{"/move/kittiwake", rain, "left.share.0", "some", "The share “some” is no number.", ""},
		{"/move/kittiwake", rain, "left.from.0", "", "Work has a first and a last section.", ""},
		{"/move/kittiwake", rain, "left.to.0", "", "Work has a first and a last section.", ""},
		{"/move/kittiwake", rain, "left.to.0", "02:00", "The work ends before it begins.", ""},
		{"/move/kittiwake", rain, "left.to.0", "20:00", "lies in the future", ""},
	} {
		name := c.path + " " + c.field + " " + c.bad
		f := url.Values{}
		for k, v := range c.good {
			f[k] = v
		}
		f.Set(c.field, c.bad)
		if c.also != "" {
			f.Set("date", c.also)
		}
		w := s.post(c.path, f)
		if !assert.Equal(t, http.StatusUnprocessableEntity, w.Code, name) {
			continue
		}
		root := decent(t, name, w.Body.String())
		assert.Contains(t, beside(t, root, c.field), c.words, name)
		alert := root.all(func(n *node) bool { return n.attr["role"] == "alert" })
		require.Len(t, alert, 1, name)
		assert.Contains(t, alert[0].text(), c.words, name)
		assert.Len(t, root.all(func(n *node) bool { return n.attr["aria-invalid"] == "true" }), 1, "%s: one field is wrong", name)
		shown := shownIn(root, c.path)
		for k, v := range f {
			if strings.HasPrefix(k, "zone.") || k == c.field && (c.field == "by.0" || c.field == "found" || c.field == "step") {
				continue // hidden, or no choice that the page has
			}
			assert.Contains(t, shown[k], v[0], "%s: %s is lost", name, k)
		}
	}
	list, err := s.desk.Log(t.Context(), "kittiwake")
	require.NoError(t, err)
	assert.Empty(t, append(append(list.Done, list.Outcomes...), list.Readings...))
	assert.Empty(t, s.faults)
}

// In US units a figure that cannot be is told as it was given, in the unit of its field.
func TestWrongFiguresAreToldInTheUnitsOfThePage(t *testing.T) {
	s := small(t, func(c *Config) { c.Units = "us" })
	for field, c := range map[string]struct{ bad, words string }{
		"air": {"200", "Air 200 is out of range. The field is in °F, from -40 to 140."}, "wind": {"300", "Wind 300 is out of range. The field is in mph, from 0 to 134."},
		"surface.0": {"-90,5", "Surface of port side -90,5 is out of range. The field is in °F, from -40 to 203."},
	} {
		f := url.Values{"air": {"59"}, "humidity": {"90"}, "zone.0": {"port side"}, "by.0": {"contact"}}
		f.Set(field, c.bad)
		w := s.post("/morning/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, field)
		root := decent(t, field, w.Body.String())
		assert.Equal(t, c.words, beside(t, root, field))
		assert.NotRegexp(t, `93\.3|134\.1|-68`, root.text(), "not in a unit that nobody wrote")
	}
	// What can be in °F and could not in °C is taken.
	w := s.post("/morning/kittiwake", url.Values{"air": {"100"}, "humidity": {"30"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	list, err := s.desk.Log(t.Context(), "kittiwake")
	require.NoError(t, err)
	assert.Contains(t, list.Readings[0].Text, "air 37.8 °C")
}

// The sky or the sun alone is no reading; the form says what to add, in its own words.
func TestHalfAReading(t *testing.T) {
	s := small(t)
	for field, f := range map[string]url.Values{
		"sky": {"sky": {"clear"}}, "sun.0": {"zone.0": {"port side"}, "sun.0": {"yes"}, "air": {"15"}},
	} {
		w := s.post("/morning/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		root := decent(t, field, w.Body.String())
		says(t, beside(t, root, field), "alone is no reading.")
		for _, key := range []string{"air_c", "humidity_pct", "surface_c", "moisture_pct"} {
			assert.NotContains(t, root.text(), key, "the form speaks of its own fields")
		}
	}
	for _, f := range []url.Values{{"salt": {"yes"}}, {"spray": {"no"}}, {"zone.0": {"port side"}, "wet.0": {"no"}}, {"wind": {"0"}}, {"air": {"0"}}, {"zone.0": {"port side"}, "surface.0": {"0"}, "by.0": {"infrared"}}} {
		assert.Equal(t, http.StatusSeeOther, s.post("/morning/kittiwake", f).Code, "%v is a reading: nought is a figure", f)
	}
}

// A panel in whose form something was filled in is open when the form comes back.
func TestAFilledPanelIsOpen(t *testing.T) {
	s := standing(t, nil)
	open := func(f url.Values) map[string]bool {
		out := map[string]bool{}
		w := s.post("/morning/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		for _, d := range decent(t, "/morning", w.Body.String()).all(func(n *node) bool { return n.attr["class"] == "panel" }) {
			_, is := d.attr["open"]
			out[d.named("summary")[0].named("bdi")[0].text()] = is
		}
		return out
	}
	names := []string{"port side", "starboard side", "transom", "foredeck"}
	f := url.Values{"air": {"warm"}}
	before := open(f)
	require.Len(t, before, 4)
	for i, n := range names {
		f := url.Values{"air": {"warm"}}
		for k, zone := range names {
			f.Set(fmt.Sprintf("zone.%d", k), zone)
		}
		f.Set(fmt.Sprintf("surface.%d", i), "13")
		after := open(f)
		for _, other := range names {
			if !before[other] {
				assert.Equal(t, other == n, after[other], "%s when %s is filled in", other, n)
			}
		}
	}
}

// Rain of an evening that ends in the small hours has gone on past midnight; rain of
// today that ends before it begins is a slip.
func TestRainPastMidnight(t *testing.T) {
	s := small(t)
	require.Equal(t, http.StatusOK, s.get("/week/kittiwake").Code)
	w := s.post("/move/kittiwake", url.Values{"date": {"2026-09-07"}, "from": {"22:30"}, "to": {"01:15"}, "mm": {"6"}})
	require.Equal(t, http.StatusSeeOther, w.Code, "%s", w.Body)
	says(t, s.main("/move/kittiwake", http.StatusOK), "Mon 7 Sep 22:30–Tue 8 Sep 01:15, 6.0 mm.")
	list, err := s.desk.Log(t.Context(), "kittiwake")
	require.NoError(t, err)
	require.Len(t, list.Readings, 1)
	assert.Equal(t, time.Date(2026, 9, 8, 2, 30, 0, 0, time.UTC), list.Readings[0].At.UTC())
	w = s.post("/move/kittiwake", url.Values{"date": {"2026-09-08"}, "from": {"05:30"}, "to": {"01:15"}})
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Equal(t, "The rain ends before it begins. Give the beginning before the end.", beside(t, parsePage(t, w.Body.String()), "to"))
}

// Rain in inches is kept in millimetres.
func TestRainInInches(t *testing.T) {
	s := small(t, func(c *Config) { c.Units = "us" })
	require.Equal(t, http.StatusOK, s.get("/week/kittiwake").Code)
	w := s.post("/move/kittiwake", url.Values{"date": {"2026-09-08"}, "from": {"04:00"}, "to": {"05:00"}, "mm": {"0,5"}})
	require.Equal(t, http.StatusSeeOther, w.Code, "%s", w.Body)
	list, err := s.desk.Log(t.Context(), "kittiwake")
	require.NoError(t, err)
	assert.Contains(t, list.Readings[0].Text, "12.7 mm")
}

// The times of a block that the page names are of the block's own day, though it rained
// on another.
func TestWorkOfYesterdayIsOfYesterday(t *testing.T) {
	quay, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	yesterday := time.Date(2026, 9, 7, 14, 0, 0, 0, quay)
	s := small(t, func(c *Config) {
		c.Desk = planned{c.Desk, []answer.PlanBlock{{Step: "seal", Zone: "port side", From: yesterday, To: yesterday.Add(2 * time.Hour), People: []int{1}, State: "go"}}}
	})
	root := decent(t, "/move", s.get("/move/kittiwake").Body.String())
	date := root.all(func(n *node) bool { return n.attr["name"] == "left.date.0" })
	require.Len(t, date, 1)
	assert.Equal(t, "2026-09-07", date[0].attr["value"])
	says(t, root.text(), "Seal port side, Mon 7 Sep 14:00–16:00")

	m, err := si.rained(url.Values{"date": {"2026-09-08"}, "from": {"03:00"}, "to": {"05:00"}, "left.step.0": {"seal"}, "left.zone.0": {"port side"}, "left.date.0": {"2026-09-07"},
		"left.how.0": {"buffed"}, "left.from.0": {"14:10"}, "left.to.0": {"15:50"}, "left.step.1": {"wash"}, "left.zone.1": {"port side"}, "left.how.1": {"uncured"},
		"left.from.1": {"02:00"}, "left.to.1": {"02:30"}, "left.step.2": {"seal"}, "left.zone.2": {"transom"}, "left.how.2": {""}, "left.from.2": {"nonsense"}}, six.In(quay))
	require.NoError(t, err)
	require.Len(t, m.Left, 2, "what was not under way is not asked further")
	assert.Equal(t, "2026-09-07T14:10 2026-09-07T15:50", m.Left[0].From+" "+m.Left[0].To)
	assert.Equal(t, "2026-09-08T02:00 2026-09-08T02:30", m.Left[1].From+" "+m.Left[1].To, "the free row is of the day of the rain")
}

// A lost day is one without rain; then nothing is written into the book.
func TestALostDay(t *testing.T) {
	s := small(t)
	require.Equal(t, http.StatusOK, s.get("/week/kittiwake").Code)
	w := s.post("/move/kittiwake", url.Values{"date": {"2026-09-08"}})
	require.Equal(t, http.StatusSeeOther, w.Code, "%s", w.Body)
	list, err := s.desk.Log(t.Context(), "kittiwake")
	require.NoError(t, err)
	assert.Empty(t, list.Readings)
	assert.NotContains(t, s.main("/move/kittiwake", http.StatusOK), "Rain:")
	w = s.post("/move/kittiwake", url.Values{"date": {"2026-09-08"}, "mm": {"4"}})
	require.Equal(t, http.StatusUnprocessableEntity, w.Code, "an amount without hours")
	says(t, beside(t, parsePage(t, w.Body.String()), "mm"), "give from when to when it rained")
}

// Bytes that are no form are told so, with the status of a request that cannot be read;
// nobody here is at fault for what a stranger sends.
func TestBytesThatAreNoForm(t *testing.T) {
	s := small(t)
	for _, path := range []string{"/job/kittiwake", "/job/kittiwake/check", "/morning/kittiwake", "/move/kittiwake", "/log/kittiwake", "/theme"} {
		for name, r := range map[string]*http.Request{
			"an escape that is none": httptest.NewRequest(http.MethodPost, path, strings.NewReader("step=%zz&text=%")),
			"a semicolon":            httptest.NewRequest(http.MethodPost, path+"?a;b", strings.NewReader("step=seal")),
		} {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			w := s.do(r)
			assert.Equal(t, http.StatusBadRequest, w.Code, "%s: %s", path, name)
			says(t, decent(t, path, w.Body.String()).text(), "The form cannot be read", "Go back and send it again.")
		}
		r := httptest.NewRequest(http.MethodPost, path, strings.NewReader("{\"step\": \"seal\"}"))
		r.Header.Set("Content-Type", "application/json")
		assert.Less(t, s.do(r).Code, http.StatusInternalServerError, "%s: another kind of body is an empty form", path)
		w := s.post(path, url.Values{"text": {strings.Repeat("x", largestForm)}})
		assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code, path)
		says(t, decent(t, path, w.Body.String()).text(), "That is more than a form may hold.")
	}
	assert.Empty(t, s.faults)
	assert.Equal(t, webtest.SmallJob, s.text())
}

// A figure that is refused in a zone's form leaves the rest of that form as it was given.
func TestAZoneFormKeepsWhatWasGiven(t *testing.T) {
	s := small(t)
	for _, c := range []struct{ field, bad string }{{"area", "big"}, {"tilt", "190"}, {"faces", "up"}, {"area", "-4"}} {
		f := url.Values{"op": {"zone"}, "index": {"0"}, "zone": {"port side"}, "finish": {"cream-gelcoat"}, "shelter": {"canvas"}, "access": {"ladder"},
			"area": {"7.5"}, "tilt": {"80"}, "faces": {"265"}, "salt": {"yes"}, "tag": {s.tag()}}
		f.Set(c.field, c.bad)
		w := s.post("/job/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, c.bad)
		root := decent(t, c.bad, w.Body.String())
		assert.NotEmpty(t, beside(t, root, c.field+"0"))
		shown := shownIn(root, "/job/kittiwake")
		for k, v := range f {
			if k != "op" && k != "index" && k != "zone" && k != "tag" {
				assert.Contains(t, shown[k], v[0], "%s: %s is lost", c.bad, k)
			}
		}
		editor := root.all(func(n *node) bool { return n.name == "details" && n.attr["class"] == "editor" })[0]
		_, open := editor.attr["open"]
		assert.True(t, open, "the editor is open")
		assert.Equal(t, webtest.SmallJob, s.text())
	}
}

// A form that takes something out is refused where it cannot take it out: nobody is told
// that it was saved when it was not.
func TestNothingIsSavedInSilence(t *testing.T) {
	s := standing(t, nil)
	before := s.text()
	w := s.post("/job/kittiwake", url.Values{"op": {"step"}, "index": {"3"}, "with": {"polymer-sealant"}, "tag": {s.tag()}})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code, "all ticks were taken out")
	says(t, decent(t, "/job", w.Body.String()).text(), "On which part of the boat? Tick at least one, or take the step out.")
	for _, name := range []string{"area", "tilt", "faces"} {
		f := url.Values{"op": {"zone"}, "index": {"0"}, "zone": {"port side"}, "area": {"15.7"}, "tilt": {"90"}, "faces": {"270"}, "tag": {s.tag()}}
		f.Set(name, " ")
		w := s.post("/job/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, name)
		assert.Equal(t, "This cannot be left empty. Give another value, or take it out in the text below.", beside(t, decent(t, name, w.Body.String()), name+"0"))
	}
	assert.Equal(t, before, s.text())
	// What was empty may stay so: the foredeck is level and faces nowhere.
	root := parsePage(t, s.get("/job/kittiwake").Body.String())
	for _, form := range root.all(func(n *node) bool { return n.name == "form" && strings.HasPrefix(n.attr["id"], "zone-") }) {
		f := url.Values{"tag": {s.tag()}}
		for _, n := range form.named("input") {
			if n.attr["type"] != "checkbox" {
				f.Set(n.attr["name"], n.attr["value"])
			}
		}
		w := s.post("/job/kittiwake", f)
		require.Equal(t, http.StatusSeeOther, w.Code, "%s is sent as it is shown", f.Get("zone"))
	}
	assert.Equal(t, before, s.text(), "and changes nothing")
}

// The look that is chosen on a page leads back to a page, where the form that made it has
// none of its own too.
func TestTheLookLeadsBackToAPage(t *testing.T) {
	s := small(t)
	for path, want := range map[string]string{"/plan/none": "/", "/theme": "/", "/log/kittiwake": "/log/kittiwake", "/move/kittiwake": "/move/kittiwake", "/morning/kittiwake": "/morning/kittiwake", "/job/kittiwake": "/job/kittiwake"} {
		w := s.post(path, url.Values{"mm": {"much"}, "op": {"none"}})
		require.GreaterOrEqual(t, w.Code, 400, path)
		back := parsePage(t, w.Body.String()).all(func(n *node) bool { return n.attr["name"] == "back" })
		require.Len(t, back, 1)
		assert.Equal(t, want, back[0].attr["value"], path)
		assert.Equal(t, http.StatusOK, s.get(back[0].attr["value"]).Code, path)
	}
	for _, path := range []string{"/week/kittiwake?x=1", "/nowhere"} {
		back := parsePage(t, s.get(path).Body.String()).all(func(n *node) bool { return n.attr["name"] == "back" })
		assert.Equal(t, path, back[0].attr["value"], "as it was asked for")
	}
}

// Whatever figure people write, with a point or a comma and blanks round it, is read as
// that figure; what is no figure is refused with the words of its field.
func TestFiguresAsPeopleWriteThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := float64(rapid.IntRange(-99999, 99999).Draw(t, "x")) / 100
		text := fmt.Sprintf("%.2f", x)
		if rapid.Bool().Draw(t, "comma") {
			text = strings.Replace(text, ".", ",", 1)
		}
		text = strings.Repeat(" ", rapid.IntRange(0, 3).Draw(t, "before")) + text + strings.Repeat(" ", rapid.IntRange(0, 3).Draw(t, "after"))
		m, err := number("the area", "area", text)
		require.NoError(t, err)
		require.True(t, m.Known)
		require.InDelta(t, x, m.V, 1e-9)
		f, err := us.degrees("the air", "air", text)
		require.NoError(t, err)
		require.InDelta(t, x, f.V*1.8+32, 1e-9, "and back in the page's unit")
	})
	for _, s := range []string{"", "  ", "\t"} {
		m, err := number("x", "x", s)
		require.NoError(t, err)
		assert.False(t, m.Known, "nothing is not nought")
	}
	for _, s := range []string{"1,2,3", "1.2.3", "NaN", "Inf", "-Infinity", "1e999", "ten", "12 °C", "--1", "½"} {
		_, err := number("the area", "area", s)
		text, again := mistake(err)
		assert.True(t, again, s)
		assert.Contains(t, text, "The area “"+s+"” is no number", s)
	}
}

// The same wind is the same wind in each unit that a page may speak: exact by the
// definitions of the international mile and the nautical mile.
func TestWindInItsUnits(t *testing.T) {
	for name, c := range map[string]struct {
		v     voice
		given string
		want  float64
	}{"m/s": {voice{}, "10", 10}, "mph": {us, "10", 4.4704}, "kn": {voice{}, "10", 5.144444}} {
		if name == "kn" {
			c.v.units.Wind = "kn"
		}
		assert.Equal(t, name, c.v.windUnit().name)
		m, err := c.v.ofPlace(url.Values{"wind": {c.given}})
		require.NoError(t, err)
		assert.InDelta(t, c.want, m.WindMS.V, 1e-6, name)
	}
}

// A job written with two characters at its line ends keeps them when its text is saved
// from a browser, which sends both whatever it was given.
func TestLineEndsOfASavedFileStay(t *testing.T) {
	for _, end := range []string{"\n", "\r\n"} {
		s := standOn(t, setup{texts: []string{strings.ReplaceAll(webtest.SmallJob, "\n", end)}})
		root := decent(t, "/job", s.get("/job/kittiwake").Body.String())
		text := strings.ReplaceAll(input(t, root, "text").raw(), "\r\n", "\n")
		w := s.post("/job/kittiwake", url.Values{"op": {"file"}, "tag": {s.tag()}, "text": {strings.ReplaceAll(strings.TrimPrefix(text, "\n")+"# more\n", "\n", "\r\n")}})
		require.Equal(t, http.StatusSeeOther, w.Code)
		assert.Equal(t, strings.ReplaceAll(webtest.SmallJob+"# more\n", "\n", end), s.text())
	}
}
