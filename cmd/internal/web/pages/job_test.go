package pages

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tag is the tag of the job's text now.
func (s *stand) tag() string {
	f, err := s.pages.cfg.Desk.File(context.Background(), "kittiwake")
	require.NoError(s.t, err)
	return f.Tag
}

func (s *stand) text() string {
	data, err := os.ReadFile(s.job)
	require.NoError(s.t, err)
	return string(data)
}

func TestZoneIsEditedInTheFile(t *testing.T) {
	s := standing(t, nil)
	before := s.text()
	w := s.post("/job/kittiwake", url.Values{"op": {"zone"}, "tag": {s.tag()}, "index": {"0"}, "zone": {"port side"},
		"finish": {"navy-gelcoat"}, "shelter": {"open"}, "access": {"deck"}, "area": {"15,7"}, "salt": {"yes"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	assert.Equal(t, "/job/kittiwake?saved=1#zone-0", w.Header().Get("Location"))
	assert.Equal(t, before+"zones:\n  - {name: port side, finish: navy-gelcoat, salt: true}\n", s.text(), "what the preset says stays unsaid")
	root := decent(t, "/job", s.get("/job/kittiwake?saved=1").Body.String())
	says(t, root.text(), "Saved. The answers count with it.", "navy gelcoat, 15.7 m²")
}

func TestStepsAreEditedInTheFile(t *testing.T) {
	s := standing(t, nil)
	post := func(f url.Values) {
		f.Set("tag", s.tag())
		require.Equal(t, http.StatusSeeOther, s.post("/job/kittiwake", f).Code, f)
	}
	post(url.Values{"op": {"step"}, "index": {"3"}, "with": {"carnauba-wax"}, "on": {"transom", "foredeck"}})
	assert.Contains(t, s.text(), "- {do: seal, with: carnauba-wax, on: [transom, foredeck]}")
	post(url.Values{"op": {"add-step"}, "do": {"protect"}, "with": {"vinyl-protectant"}, "name": {"seats"}})
	assert.Contains(t, s.text(), "- {do: protect, name: seats, with: vinyl-protectant}")
	post(url.Values{"op": {"remove-step"}, "index": {"0"}})
	assert.NotContains(t, s.text(), "do: wash,")
	assert.Contains(t, s.text(), "# The boat of the demo.")
}

func TestTheFileIsSavedAsItWasWritten(t *testing.T) {
	s := standing(t, nil)
	text := strings.Replace(s.text(), "people: 2", "people: 3  # Ada helps", 1)
	w := s.post("/job/kittiwake", url.Values{"op": {"file"}, "tag": {s.tag()}, "text": {strings.ReplaceAll(text, "\n", "\r\n")}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	assert.Equal(t, text, s.text())
}

// The job's page tells the polishers beside the people, where the file does.
func TestPolishersStandBesideThePeople(t *testing.T) {
	s := standing(t, nil)
	head := func() string { return decent(t, "/job", s.get("/job/kittiwake").Body.String()).text() }
	assert.NotContains(t, head(), "polisher")
	text := s.text()
	for key, want := range map[string]string{"polishers: 1": "2 people, 1 polisher Days", "polishers: 2": "2 people, 2 polishers Days"} {
		require.NoError(t, os.WriteFile(s.job, []byte(strings.Replace(text, "people: 2", "people: 2\n"+key, 1)), 0o600))
		says(t, head(), want)
	}
}

func TestMistakesAreToldByLineAndNothingIsSaved(t *testing.T) {
	s := standing(t, nil)
	before := s.text()
	text := strings.Replace(before, "latitude: 43.07", "latitude: 430.7", 1)
	w := s.post("/job/kittiwake", url.Values{"op": {"file"}, "tag": {s.tag()}, "text": {text}})
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	root := decent(t, "/job", w.Body.String())
	says(t, root.text(), "Line 5, column 13:", "latitude: 430.7", "Nothing was saved")
	area := root.all(func(n *node) bool { return n.attr["id"] == "text" })[0]
	assert.Equal(t, strings.TrimSpace(text), strings.TrimSpace(area.raw()), "what was written is still there")
	assert.Equal(t, before, s.text())
}

func TestNobodyOverwritesAnother(t *testing.T) {
	s := standing(t, nil)
	old := s.tag()
	mine := strings.Replace(s.text(), "people: 2", "people: 4", 1)
	require.NoError(t, os.WriteFile(s.job, []byte(strings.Replace(s.text(), "people: 2", "people: 3", 1)), 0o600))
	w := s.post("/job/kittiwake", url.Values{"op": {"file"}, "tag": {old}, "text": {mine}})
	require.Equal(t, http.StatusPreconditionFailed, w.Code)
	root := decent(t, "/job", w.Body.String())
	says(t, root.text(), "somebody else has changed the job", "people: 4", "people: 3")
	assert.Contains(t, s.text(), "people: 3")
	r := httptest.NewRequest(http.MethodPost, "/job/kittiwake", strings.NewReader(url.Values{"op": {"file"}, "tag": {s.tag()}, "text": {mine}}.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("If-Match", `"`+old+`"`)
	assert.Equal(t, http.StatusPreconditionFailed, s.do(r).Code, "the header outranks the field")
}

func TestWrongEditsAreRefused(t *testing.T) {
	s := standing(t, nil)
	before := s.text()
	for want, f := range map[string]url.Values{
		"There is no such change":  {"op": {"sink"}},
		"The boat has no such":     {"op": {"zone"}, "zone": {"crow's nest"}},
		"is no number":             {"op": {"zone"}, "zone": {"transom"}, "area": {"big"}},
		"What is to be done?":      {"op": {"add-step"}},
		"The job has no such step": {"op": {"step"}, "index": {"99"}, "with": {"soap-wash"}},
		"mistakes":                 {"op": {"zone"}, "zone": {"transom"}, "finish": {"chocolate"}},
		"needs to be one of steps": nil,
	} {
		if f == nil {
			continue
		}
		f.Set("tag", s.tag())
		w := s.post("/job/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, want)
		says(t, decent(t, want, w.Body.String()).text(), want)
	}
	assert.Equal(t, before, s.text())
	w := s.post("/job/kittiwake", url.Values{"op": {"file"}, "text": {strings.Repeat("#", largestForm)}})
	assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
}

func TestAJobIsCheckedWhileItIsTyped(t *testing.T) {
	s := standing(t, nil)
	w := s.post("/job/kittiwake/check", url.Values{"text": {s.text()}})
	assert.Equal(t, "<p>No mistakes.</p>", strings.TrimSpace(w.Body.String()))
	w = s.post("/job/kittiwake/check", url.Values{"text": {s.text() + "zonk: <script>\n"}})
	assert.Contains(t, w.Body.String(), "<b>Line ")
	assert.NotContains(t, w.Body.String(), "<script>")
}

func TestBoardLaysZonesOutByWhereTheyFace(t *testing.T) {
	zone := func(name string, tilt, faces float64) zoneForm {
		return zoneForm{Zone: boat.Zone{Name: name, Tilt: tilt, Faces: faces}}
	}
	b := boardOf([]zoneForm{zone("swim platform", 0, 0), zone("port side", 90, 270), zone("starboard side", 90, 90), zone("transom", 90, 180),
		zone("windscreen", 55, 0), zone("bottom", 150, 90), zone("helm", 0, 0), zone("foredeck", 0, 0), zone("quarter", 90, 315)})
	of := func(list []zoneForm) string {
		var out []string
		for _, z := range list {
			out = append(out, z.Name)
		}
		return strings.Join(out, ", ")
	}
	assert.Equal(t, "windscreen, quarter", of(b.Bow))
	assert.Equal(t, "port side", of(b.Port))
	assert.Equal(t, "starboard side", of(b.Starboard))
	assert.Equal(t, "foredeck, helm, swim platform", of(b.Middle))
	assert.Equal(t, "transom", of(b.Stern))
	assert.Equal(t, "bottom", of(b.Below))
}
