package nws

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quayAlerts are those of the project's own reply that are in earnest.
var quayAlerts = []forecast.Alert{
	{
		Event: "Severe Thunderstorm Warning", Severity: forecast.Severe, Sender: "NWS Otter Quay", Source: "NWS",
		From: utc("2026-09-10T13:05:00Z"), Until: utc("2026-09-10T13:45:00Z"), // no end of its own: that of the message
		Headline: "Severe Thunderstorm Warning issued September 10 at 9:05AM EDT until September 10 at 9:45AM EDT by NWS Otter Quay",
	},
	{
		Event: "Small Craft Advisory", Severity: forecast.Minor, Sender: "NWS Otter Quay", Source: "NWS",
		From: utc("2026-09-10T18:00:00Z"), Until: utc("2026-09-11T06:00:00Z"), // onset and end outrank effective and expires
		Headline: "Small Craft Advisory issued September 10 at 3:41AM EDT until September 11 at 2:00AM EDT by NWS Otter Quay",
	},
}

func TestParseAlerts(t *testing.T) {
	list, unread, err := ParseAlerts(file(t, "nws_alerts.json"))
	require.NoError(t, err)
	assert.Equal(t, quayAlerts, list, "gravest first, without the test and what was called off")
	assert.Zero(t, unread)

	list, unread, err = ParseAlerts([]byte(`{"type":"FeatureCollection","features":[]}`))
	require.NoError(t, err)
	assert.Empty(t, list)
	assert.Zero(t, unread)
}

// alertsOf makes a reply of alerts that differ from a plain one by these keys.
func alertsOf(t *testing.T, changes ...object) []byte {
	t.Helper()
	features := []any{}
	for _, change := range changes {
		p := object{"event": "Gale Warning", "status": "Actual", "messageType": "Alert", "severity": "Moderate",
			"effective": "2026-09-10T05:00:00-04:00", "expires": "2026-09-10T20:00:00-04:00", "headline": "Gale", "senderName": "NWS Otter Quay"}
		for k, v := range change {
			p[k] = v
		}
		features = append(features, object{"type": "Feature", "properties": p})
	}
	data, err := json.Marshal(object{"type": "FeatureCollection", "features": features})
	require.NoError(t, err)
	return data
}

// What is not in earnest is left out; what does not say is kept.
func TestWhatCounts(t *testing.T) {
	for _, c := range []struct {
		change object
		counts bool
	}{
		{object{}, true}, {object{"messageType": "Update"}, true}, {object{"status": nil}, true}, {object{"messageType": ""}, true},
		{object{"status": "actual"}, true},
		{object{"status": "Exercise"}, false}, {object{"status": "System"}, false}, {object{"status": "Test"}, false}, {object{"status": "Draft"}, false},
		{object{"messageType": "Cancel"}, false}, {object{"response": "AllClear"}, false}, {object{"response": "Avoid"}, true}, {object{"messageType": "Ack"}, false}, {object{"messageType": "Error"}, false},
	} {
		list, unread, err := ParseAlerts(alertsOf(t, c.change))
		require.NoError(t, err)
		assert.Zero(t, unread)
		assert.Equal(t, c.counts, len(list) == 1, c.change)
	}
}

// capMessage is an alert by its identifier, sent so many minutes after five o'clock, that
// replaces others.
func capMessage(id string, minute int, kind string, replaces ...string) object {
	list := []object{}
	for _, r := range replaces {
		list = append(list, object{"@id": "https://api.weather.gov/alerts/" + r, "identifier": r, "sender": "w-nws.webmaster@noaa.gov", "sent": "2026-09-10T04:00:00-04:00"})
	}
	return object{
		"id": id, "messageType": kind, "references": list, "headline": id, "sent": fmt.Sprintf("2026-09-10T05:%02d:00-04:00", minute),
	}
}

func with(o object, more object) object {
	for k, v := range more {
		o[k] = v
	}
	return o
}

// A message that is replaced or called off by a later one in earnest is gone (CAP 1.2,
// sections 3.2.1 msgType and references), also over several steps; what is not in
// earnest, not later, or damaged takes nothing away.
func TestAlertsReplaced(t *testing.T) {
	for name, c := range map[string]struct {
		in   []object
		want []string
	}{
		"updated":            {[]object{capMessage("a", 0, "Alert"), capMessage("b", 5, "Update", "a")}, []string{"b"}},
		"in the other order": {[]object{capMessage("b", 5, "Update", "a"), capMessage("a", 0, "Alert")}, []string{"b"}},
		"twice":              {[]object{capMessage("a", 0, "Alert"), capMessage("b", 5, "Update", "a"), capMessage("c", 9, "Update", "a", "b")}, []string{"c"}},
		"step by step":       {[]object{capMessage("a", 0, "Alert"), capMessage("b", 5, "Update", "a"), capMessage("c", 9, "Update", "b")}, []string{"c"}},
		"called off":         {[]object{capMessage("a", 0, "Alert"), capMessage("b", 5, "Cancel", "a"), capMessage("c", 0, "Alert")}, []string{"c"}},
		"in error":           {[]object{capMessage("a", 0, "Alert"), capMessage("b", 5, "Error", "a")}, nil},
		"all clear":          {[]object{capMessage("a", 0, "Alert"), with(capMessage("b", 5, "Update", "a"), object{"response": "AllClear"})}, nil},
		"acknowledged":       {[]object{capMessage("a", 0, "Alert"), capMessage("b", 5, "Ack", "a")}, []string{"a"}},
		"a test":             {[]object{capMessage("a", 0, "Alert"), with(capMessage("b", 5, "Cancel", "a"), object{"status": "Test"})}, []string{"a"}},
		"an exercise":        {[]object{capMessage("a", 0, "Alert"), with(capMessage("b", 5, "Update", "a"), object{"status": "Exercise"})}, []string{"a"}},
		"a draft":            {[]object{capMessage("a", 0, "Alert"), with(capMessage("b", 5, "Update", "a"), object{"status": "Draft"})}, []string{"a"}},
		"another":            {[]object{capMessage("a", 0, "Alert"), capMessage("b", 5, "Update", "z")}, []string{"a", "b"}},
		"each other":         {[]object{capMessage("a", 0, "Update", "b"), capMessage("b", 0, "Update", "a")}, []string{"a", "b"}},
		"itself":             {[]object{capMessage("a", 0, "Update", "a")}, []string{"a"}},
		"earlier":            {[]object{capMessage("a", 5, "Alert"), capMessage("b", 0, "Update", "a")}, []string{"a", "b"}},
		"not said when":      {[]object{with(capMessage("a", 0, "Alert"), object{"sent": nil}), capMessage("b", 5, "Cancel", "a")}, []string{"a"}},
		"damaged": {[]object{capMessage("a", 0, "Alert"), with(capMessage("b", 5, "Update"), object{"references": []any{7, object{"identifier": 7}, object{}}}),
			with(capMessage("c", 5, "Update"), object{"references": "a"})}, []string{"a", "b", "c"}},
	} {
		list, unread, err := ParseAlerts(alertsOf(t, c.in...))
		require.NoError(t, err, name)
		assert.Zero(t, unread, name)
		var got []string
		for _, a := range list {
			got = append(got, a.Headline)
		}
		assert.ElementsMatch(t, c.want, got, name)
	}
}

// What begins and ends when: onset before effective before sent, end before expiry. A
// storm warning until further notice has a null for an end and zeros in its code, and
// does not end with its message of a few hours.
func TestAlertTimes(t *testing.T) {
	type times = [2]string
	effective, expires := "2026-09-10T09:00:00Z", "2026-09-11T00:00:00Z"
	vtec := func(end string) object {
		return object{"VTEC": []string{"/O.CON.KOTQ.TR.W.1008.000000T0000Z-" + end + "/"}}
	}
	for name, c := range map[string]struct {
		change object
		want   times
	}{
		"plain":          {object{}, times{effective, expires}},
		"onset":          {object{"onset": "2026-09-10T12:00:00Z"}, times{"2026-09-10T12:00:00Z", expires}},
		"onset null":     {object{"onset": nil}, times{effective, expires}},
		"sent":           {object{"effective": nil, "sent": "2026-09-10T08:00:00Z"}, times{"2026-09-10T08:00:00Z", expires}},
		"nothing":        {object{"effective": nil, "expires": nil}, times{"", ""}},
		"ends later":     {object{"ends": "2026-09-12T00:00:00Z"}, times{effective, "2026-09-12T00:00:00Z"}},
		"ends null":      {object{"ends": nil}, times{effective, expires}},
		"expires null":   {object{"expires": nil, "ends": "2026-09-10T12:00:00Z"}, times{effective, "2026-09-10T12:00:00Z"}},
		"ends at once":   {object{"ends": effective}, times{effective, expires}},
		"ends before":    {object{"ends": "2026-09-01T00:00:00Z", "expires": "2026-09-02T00:00:00Z"}, times{effective, ""}},
		"ends unread":    {object{"ends": "tonight"}, times{effective, expires}},
		"until further":  {object{"ends": nil, "parameters": vtec("000000T0000Z")}, times{effective, ""}},
		"a coded end":    {object{"ends": nil, "parameters": vtec("260912T0000Z")}, times{effective, expires}},
		"an end at last": {object{"ends": "2026-09-12T00:00:00Z", "parameters": vtec("000000T0000Z")}, times{effective, "2026-09-12T00:00:00Z"}},
		"odd parameters": {object{"parameters": object{"VTEC": 7}}, times{effective, expires}},
	} {
		list, _, err := ParseAlerts(alertsOf(t, c.change))
		require.NoError(t, err, name)
		require.Len(t, list, 1, name)
		want := func(s string) time.Time {
			if s == "" {
				return time.Time{}
			}
			return utc(s)
		}
		assert.Equal(t, want(c.want[0]), list[0].From, name)
		assert.Equal(t, want(c.want[1]), list[0].Until, name)
	}
}

// The same in a second language is told once, in English; alone it is told as it is.
func TestAlertLanguages(t *testing.T) {
	english := object{"language": "en-US", "sent": "2026-09-10T05:00:00-04:00"}
	spanish := object{"language": "es-US", "sent": "2026-09-10T05:00:00-04:00", "event": "Aviso de Temporal", "headline": "Temporal"}
	for name, c := range map[string]struct {
		in   []object
		want []string
	}{
		"both":           {[]object{spanish, english}, []string{"Gale Warning"}},
		"not said":       {[]object{{"sent": "2026-09-10T05:00:00-04:00"}, spanish}, []string{"Gale Warning"}},
		"alone":          {[]object{spanish}, []string{"Aviso de Temporal"}},
		"of another":     {[]object{english, {"ends": "2026-09-12T00:00:00Z", "language": "es", "sent": "2026-09-10T05:00:00-04:00", "event": "Aviso"}}, []string{"Gale Warning", "Aviso"}},
		"another office": {[]object{english, {"language": "es", "sent": "2026-09-10T05:00:00-04:00", "event": "Aviso", "senderName": "NWS Elsewhere"}}, []string{"Gale Warning", "Aviso"}},
		"not said when":  {[]object{{"language": "en"}, {"language": "es", "event": "Aviso"}}, []string{"Gale Warning", "Aviso"}},
	} {
		list, _, err := ParseAlerts(alertsOf(t, c.in...))
		require.NoError(t, err, name)
		var got []string
		for _, a := range list {
			got = append(got, a.Event)
		}
		assert.ElementsMatch(t, c.want, got, name)
	}
}

// One that is damaged takes none of the others with it, and is not passed over
// in silence.
func TestDamagedAlerts(t *testing.T) {
	list, unread, err := ParseAlerts(alertsOf(t, object{"event": 7}, object{"event": nil}, object{"headline": "whole"}, object{"severity": []any{}}))
	require.NoError(t, err)
	assert.Len(t, list, 1)
	assert.Equal(t, 3, unread)

	list, unread, err = ParseAlerts([]byte(`{"features":[7,null,{},{"properties":[]}]}`))
	require.NoError(t, err)
	assert.Empty(t, list)
	assert.Equal(t, 4, unread)
}

func TestAlertsWithWhatIsMissing(t *testing.T) {
	list, _, err := ParseAlerts(alertsOf(t, object{"effective": "soon", "expires": nil, "severity": "Dreadful", "senderName": nil, "headline": "a\u001b[31m\nb " + strings.Repeat("é", 500)}))
	require.NoError(t, err)
	require.Len(t, list, 1)
	a := list[0]
	assert.True(t, a.From.IsZero())
	assert.True(t, a.Until.IsZero())
	assert.Equal(t, forecast.SeverityUnknown, a.Severity)
	assert.Equal(t, "US National Weather Service", a.Sender)
	assert.True(t, strings.HasPrefix(a.Headline, "a [31m b éé"), a.Headline)
	assert.Len(t, []rune(a.Headline), 301)
}

// Each alert once, and by gravity: one that is not graded stands before the
// lesser grades.
func TestAlertsInOrder(t *testing.T) {
	list, _, err := ParseAlerts(alertsOf(t, object{"severity": "Minor"}, object{"severity": "Unknown"}, object{"severity": "Extreme"}, object{"severity": "Moderate"},
		object{"severity": "Severe"}, object{"severity": "Severe"}, object{"severity": "Severe", "effective": "2026-09-10T04:00:00-04:00"}))
	require.NoError(t, err)
	var grades []forecast.Severity
	for _, a := range list {
		grades = append(grades, a.Severity)
	}
	assert.Equal(t, []forecast.Severity{forecast.Extreme, forecast.Severe, forecast.Severe, forecast.SeverityUnknown, forecast.Moderate, forecast.Minor}, grades)
	assert.True(t, list[1].From.Before(list[2].From))
}

func TestParseAlertsRefuses(t *testing.T) {
	for text, reason := range map[string]string{
		"": "empty", "<html>": "web page", `{"a":`: "breaks off", `7`: "not an object", `{}`: "no list of alerts", `{"features":7}`: "no list of alerts",
		`{"title":"Alerts"}`: "no list of alerts", `{"status":404}`: "no list of alerts", `{"title":"Not Found","status":404}`: "refused",
		string(file(t, "nws_problem.json")): "the service refused",
	} {
		_, _, err := ParseAlerts([]byte(text))
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad, text)
		assert.Contains(t, bad.Reason, reason)
		assert.NotEmpty(t, bad.Fix)
	}
}

func FuzzParseAlerts(f *testing.F) {
	f.Add(file(f, "nws_alerts.json"))
	f.Add([]byte(`{"features":[{"properties":{"event":"x","onset":"9999-12-31T23:59:59-23:59"}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, unread, err := ParseAlerts(data)
		if err != nil {
			require.Empty(t, list)
			return
		}
		require.GreaterOrEqual(t, unread, 0)
		for _, a := range list {
			require.NotEmpty(t, a.Event)
			require.NotEmpty(t, a.Sender)
			require.NotContains(t, a.Headline+a.Event+a.Sender, "\n")
			require.GreaterOrEqual(t, gravity(a.Severity), 0)
		}
	})
}

// fetchAt asks the small service at a moment, by its clock.
func fetchAt(t *testing.T, s *liveService, c *fetch.Client, now *time.Time, after time.Duration) *forecast.Forecast {
	t.Helper()
	*now = liveStart.Add(after)
	f, _, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err)
	return f
}

func TestAlertsComeWithTheForecast(t *testing.T) {
	s, now := newLiveService(t), liveStart
	c := liveClient(t, liveContact, liveCache{}, &now)
	f := fetchAt(t, s, c, &now, 0)
	assert.Equal(t, quayAlerts, f.Alerts)
	assert.NotContains(t, strings.Join(f.Warnings, "\n"), "authorities")
	fetchAt(t, s, c, &now, 4*time.Minute)
	assert.Equal(t, 1, s.alertsAsked(), "the service says 30 s, five minutes are often enough")
	fetchAt(t, s, c, &now, 6*time.Minute)
	assert.Equal(t, 2, s.alertsAsked())
}

// That alerts cannot be had is never a failure and never taken for none in force.
func TestNoAlertsToBeHad(t *testing.T) {
	s, now := newLiveService(t), liveStart
	s.fails["/alerts"] = 500
	f := fetchAt(t, s, liveClient(t, liveContact, liveCache{}, &now), &now, 0)
	assert.Empty(t, f.Alerts)
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "whether warnings of the authorities are in force is not known: NWS")
	assert.Equal(t, 2, s.alertsAsked(), "fewer tries than for the forecast")

	delete(s.fails, "/alerts")
	c := liveClient(t, liveContact, liveCache{}, &now)
	fetchAt(t, s, c, &now, 0)
	s.fails["/alerts"] = 503
	f = fetchAt(t, s, c, &now, 20*time.Minute)
	assert.Equal(t, quayAlerts, f.Alerts, "the copy")
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "those of 20 min ago, newer ones may be in force: NWS")
}

// A service that was silent just before is not asked for alerts as well.
func TestSilentServiceIsNotAskedOnceMore(t *testing.T) {
	s, now := newLiveService(t), liveStart
	c := liveClient(t, liveContact, liveCache{}, &now)
	fetchAt(t, s, c, &now, 0)
	s.CloseClientConnections()
	s.Close()
	f := fetchAt(t, s, c, &now, 2*time.Hour)
	assert.Equal(t, quayAlerts, f.Alerts)
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "those of 2 h ago")

	var g forecast.Forecast
	AddAlerts(context.Background(), liveClient(t, liveContact, liveCache{}, &now), Config{BaseURL: s.URL}, &g, liveQuay, &fetch.Error{Service: "NWS", Kind: fetch.Timeout})
	require.Len(t, g.Warnings, 1)
	assert.Contains(t, g.Warnings[0], "not known: NWS: no complete answer in time")
}

func TestUnreadAlertsAreCounted(t *testing.T) {
	s, now := newLiveService(t), liveStart
	cache := liveCache{}
	c := liveClient(t, liveContact, cache, &now)
	key := "NWS " + s.URL + "/alerts/active?point=43.07,-70.74"
	cache[key] = fetch.Entry{Body: alertsOf(t, object{}, object{"event": 7}), Fetched: liveStart, Expires: liveStart.Add(time.Hour)}
	f := fetchAt(t, s, c, &now, 0)
	assert.Len(t, f.Alerts, 1)
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "1 warnings of the authorities could not be read: see weather.gov")
}

func TestAlertCovers(t *testing.T) {
	at := func(h int) time.Time { return liveStart.Add(time.Duration(h) * time.Hour) }
	a := forecast.Alert{From: at(2), Until: at(4)}
	for _, c := range []struct {
		from, to int
		want     bool
	}{{0, 2, false}, {0, 3, true}, {2, 3, true}, {3, 9, true}, {4, 9, false}} {
		assert.Equal(t, c.want, a.Covers(at(c.from), at(c.to)), c)
	}
	assert.True(t, forecast.Alert{}.Covers(at(0), at(1)), "no bounds said")
	assert.True(t, forecast.Alert{Until: at(1)}.Covers(at(0), at(1)))
	assert.False(t, forecast.Alert{From: at(1)}.Covers(at(0), at(1)))
}
