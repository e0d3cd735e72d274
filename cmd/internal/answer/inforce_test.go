package answer

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// advisory is in force from 14:00 to 02:00.
func advisory(t testing.TB) forecast.Alert {
	return forecast.Alert{
		Event: "Small Craft Advisory", Severity: forecast.Minor, Sender: "NWS Otter Quay", Source: "NWS",
		From: clock(t, "2026-09-10 14:00").UTC(), Until: clock(t, "2026-09-11 02:00").UTC(), Headline: "Small Craft Advisory until 2 AM.",
	}
}

func TestInForce(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Forecast.Alerts = []forecast.Alert{advisory(t)}
	list := newBuilder(b.f).cautions(b.f.Result.From, b.f.Result.To)
	require.NotEmpty(t, list)
	c := list[0]
	assert.Equal(t, KindInForce, c.Kind)
	assert.Equal(t, "note", c.Level)
	assert.Equal(t, `Small Craft Advisory from Thu 10 Sep 14:00 until Fri 11 Sep 02:00, by NWS Otter Quay: "Small Craft Advisory until 2 AM".`+
		" A reminder, not a clearance: local rules and licensed practice decide.", c.Text)
	assert.Equal(t, "NWS Otter Quay, passed on by NWS", c.Source)
	assert.Equal(t, "14:00", c.From.Format("15:04"), "by the clock at the place")
	assert.Equal(t, "02:00", c.To.Format("15:04"))
	assert.Nil(t, c.Value)
}

func TestInForceByTime(t *testing.T) {
	at := func(text string) time.Time { return clock(t, "2026-09-"+text).UTC() }
	for name, c := range map[string]struct {
		from, until time.Time
		now         string
		slots       [2]int
		shown       bool
		says        string
	}{
		"now":                          {at("10 04:00"), at("10 08:00"), "10 06:00", [2]int{36, 144}, true, "Gale Warning in force until Thu 10 Sep 08:00"},
		"over":                         {at("10 04:00"), at("10 06:00"), "10 06:00", [2]int{36, 144}, false, ""},
		"over though of these slots":   {at("10 04:00"), at("10 08:00"), "10 09:00", [2]int{36, 144}, false, ""},
		"tomorrow, of today":           {at("11 04:00"), at("11 08:00"), "10 06:00", [2]int{36, 144}, false, ""},
		"tomorrow, of the week":        {at("11 04:00"), at("11 08:00"), "10 06:00", [2]int{36, 288}, true, "Gale Warning from Fri 11 Sep 04:00 until"},
		"now, of a week that begins":   {at("10 04:00"), at("10 08:00"), "10 06:00", [2]int{144, 288}, true, "in force"},
		"no bounds":                    {time.Time{}, time.Time{}, "10 06:00", [2]int{36, 144}, true, "Gale Warning in force, by"},
		"no end":                       {at("10 04:00"), time.Time{}, "10 06:00", [2]int{36, 144}, true, "Gale Warning in force, by"},
		"now, and nothing to be asked": {at("10 04:00"), at("10 08:00"), "10 06:00", [2]int{144, 144}, true, "in force"},
	} {
		b := newBoard(t, "seal")
		b.f.Now = clock(t, "2026-09-"+c.now)
		b.f.Forecast.Alerts = []forecast.Alert{{Event: "Gale Warning", Severity: forecast.Severe, From: c.from, Until: c.until, Sender: "an office", Source: "NWS"}}
		list := newBuilder(b.f).inForce(c.slots[0], c.slots[1])
		if assert.Equal(t, c.shown, len(list) == 1, name) && c.shown {
			assert.Contains(t, list[0].Text, c.says, name)
			assert.Equal(t, "warning", list[0].Level)
			assert.Equal(t, c.from.IsZero(), list[0].From == nil)
			assert.Equal(t, c.until.IsZero(), list[0].To == nil)
		}
	}
}

func TestLevelOfSeverity(t *testing.T) {
	for s, want := range map[forecast.Severity]string{
		forecast.Extreme: "danger", forecast.Severe: "warning", forecast.Moderate: "caution", forecast.Minor: "note",
		forecast.SeverityUnknown: "caution", "": "caution",
	} {
		assert.Equal(t, want, levelOf(s), s)
	}
}

// Whatever is in force, it changes no verdict, window or refusal.
func TestWarningsInForceNeverBlock(t *testing.T) {
	b := newBoard(t, "seal")
	plain, err := json.Marshal(withoutCautions(b.f))
	require.NoError(t, err)
	rapid.Check(t, func(rt *rapid.T) {
		f := b.f
		forecastOf := *b.f.Forecast
		for range rapid.IntRange(0, 4).Draw(rt, "alerts") {
			forecastOf.Alerts = append(forecastOf.Alerts, forecast.Alert{
				Event: rapid.String().Draw(rt, "event"), Headline: rapid.String().Draw(rt, "headline"), Sender: "an office", Source: "NWS",
				Severity: rapid.SampledFrom([]forecast.Severity{forecast.Extreme, forecast.Minor, ""}).Draw(rt, "severity"),
				From:     b.f.Now.Add(time.Duration(rapid.IntRange(-48, 48).Draw(rt, "from")) * time.Hour),
			})
		}
		f.Forecast = &forecastOf
		got, err := json.Marshal(withoutCautions(f))
		assert.NoError(rt, err)
		assert.Equal(rt, string(plain), string(got))
		for _, c := range newBuilder(f).inForce(36, 288) {
			assert.True(rt, strings.HasSuffix(c.Text, Deferral))
		}
	})
}

func withoutCautions(f Facts) *Week {
	w := NewWeek(f)
	w.Cautions = nil
	return w
}
