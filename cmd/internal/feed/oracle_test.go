package feed

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asRead is a calendar as another program read it, see .ci/calendar-oracle.
type asRead struct {
	Name, Description, Method, Refresh *string
	Events                             []eventAsRead
}

type eventAsRead struct {
	UID, Stamp, From, To, Summary, Status, Transp string
	Changed, Description, Location                *string
	Sequence                                      int
}

type oracle struct {
	Header struct {
		Date   string
		Tools  []struct{ Name, Version, From string }
		Inputs map[string]string
	}
	IcalJS map[string]asRead `json:"ical.js"`
	Python map[string]asRead `json:"python3-icalendar"`
}

// What ical.js 2.2.1 and python3-icalendar 4.0.3 read of our calendars is what we
// meant. The fixture holds their reading, and the hash of what they read.
func TestOracle(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(folder, "oracle.json"))
	require.NoError(t, err)
	var o oracle
	require.NoError(t, json.Unmarshal(data, &o))
	require.Len(t, o.Header.Tools, 2)
	assert.Equal(t, "2.2.1", o.Header.Tools[0].Version)
	plan := Of(Job{Versions: []answer.PlanVersion{planned(t)}})
	for name, in := range map[string]Input{"sample.ics": sample(t), "plan.ics": plan} {
		sum := sha256.Sum256(written(t, in))
		require.Equal(t, o.Header.Inputs[name], hex.EncodeToString(sum[:]), "%s has changed: run .ci/calendar-oracle", name)
		sameAsRead(t, in, o.IcalJS[name], func(string) bool { return true })
		sameAsRead(t, in, o.Python[name], func(text string) bool {
			return !strings.Contains(text, `\n`) // an escaped backslash before n is beyond it
		})
		require.NotNil(t, o.Python[name].Name)
		require.NotNil(t, o.IcalJS[name].Method)
		assert.Equal(t, "PUBLISH", *o.IcalJS[name].Method)
	}
	assert.Equal(t, "PT1H30M", *o.IcalJS["sample.ics"].Refresh)
}

// sameAsRead compares what was read with what was meant; can tells of which texts the
// program is able.
func sameAsRead(t *testing.T, in Input, got asRead, can func(string) bool) {
	t.Helper()
	require.Len(t, got.Events, len(in.Events))
	if got.Name != nil { // ical.js knows no NAME
		assert.Equal(t, line(in.Name), *got.Name)
	}
	assert.Equal(t, lines(in.About), orNone(got.Description))
	compared := 0
	for i, e := range in.Events {
		r := got.Events[i]
		assert.Equal(t, e.UID, r.UID)
		assert.Equal(t, e.Sequence, r.Sequence)
		assert.Equal(t, []string{utc(in.Stamp), utc(e.From), utc(e.To)}, []string{r.Stamp, r.From, r.To})
		if !e.Changed.IsZero() {
			assert.Equal(t, utc(e.Changed), orNone(r.Changed))
		}
		assert.Equal(t, strings.ToUpper(e.Status()), r.Status)
		assert.Equal(t, map[bool]string{true: "TRANSPARENT", false: "OPAQUE"}[e.Free || e.Cancelled], r.Transp)
		if can(e.Summary + e.Description) {
			compared++
			assert.Equal(t, line(e.Summary), r.Summary)
			assert.Equal(t, lines(e.Description), orNone(r.Description))
			assert.Equal(t, line(e.Location), orNone(r.Location))
		}
	}
	assert.Positive(t, compared)
}

func utc(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05Z") }

func orNone(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}
