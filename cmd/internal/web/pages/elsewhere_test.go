package pages

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// moved is the demo's weather at another place, which the demo itself never leaves. Its
// sunlight is left to the sun of that place.
type moved struct {
	app.Clock
	place  forecast.Place
	change func(*forecast.Forecast) // nil is none
}

// Forecast is the weather.
func (m moved) Forecast(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	f, err := demo.Source{Clock: m.Clock}.Forecast(ctx, q)
	if err != nil {
		return nil, err
	}
	f.Place, f.Timezone = m.place, ""
	for i := range f.Members {
		for _, q := range []forecast.Quantity{forecast.GlobalRadiation, forecast.DirectRadiation, forecast.DiffuseRadiation, forecast.UVIndex, forecast.UVIndexClearSky} {
			f.Members[i].Columns[q] = forecast.Column{}
		}
	}
	if m.change != nil {
		m.change(f)
	}
	return f, nil
}

// port is a place with a boat at it.
type port struct {
	name     string
	lat, lon float64
	zone     string
	now      time.Time
}

// sealing is a job of one panel there, for as many days as there is weather.
func (p port) sealing() string {
	return fmt.Sprintf("job: Seal\nplace: {name: %s, latitude: %g, longitude: %g, timezone: %s}\nboat: {name: Kittiwake, bow: 200, afloat: true}\n"+
		"zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 6}\n"+
		"steps:\n  - {do: seal, with: polymer-sealant}\nhours: \"07:00-18:00\"\nsince: {rain: 2026-01-01T00:00, wash: 2026-01-01T00:00, spray: no}\n", p.name, p.lat, p.lon, p.zone)
}

func (p port) stand(t testing.TB, change func(*forecast.Forecast)) *stand {
	return standOn(t, setup{texts: []string{p.sealing()}, now: p.now, source: func(c app.Clock) app.Source {
		return moved{c, forecast.Place{Latitude: p.lat, Longitude: p.lon}, change}
	}})
}

// ports are places where days, hours and sun are not those of the demo.
var ports = []port{
	{"Hemlock Bay", -33.9, 18.4, "Africa/Johannesburg", time.Date(2026, 1, 14, 6, 0, 0, 0, time.UTC)},
	{"Rata Inlet", -43.9, -176.5, "Pacific/Chatham", time.Date(2026, 9, 25, 20, 0, 0, 0, time.UTC)},   // 12:45 off, and on to 13:45
	{"Puerto Nutria", -33.0, -71.6, "America/Santiago", time.Date(2026, 9, 4, 12, 0, 0, 0, time.UTC)}, // the clock skips a midnight
	{"Cayo Nutria", 23.1, -82.4, "America/Havana", time.Date(2026, 3, 6, 12, 0, 0, 0, time.UTC)},      // and here in spring
	{"Polar day", 69.7, 18.9, "Europe/Oslo", time.Date(2026, 6, 20, 6, 0, 0, 0, time.UTC)},
	{"Polar night", 69.7, 18.9, "Europe/Oslo", time.Date(2026, 12, 18, 8, 0, 0, 0, time.UTC)},
	{"A day of 25 hours", 43.07, -70.74, "America/New_York", time.Date(2026, 10, 30, 11, 0, 0, 0, time.UTC)},
	{"A day of 23 hours", 43.07, -70.74, "America/New_York", time.Date(2026, 3, 6, 12, 0, 0, 0, time.UTC)},
	{"Beyond the date line", -13.8, -171.8, "Pacific/Apia", time.Date(2026, 5, 1, 18, 0, 0, 0, time.UTC)},
}

// listed are the days that a week lists, as their links name them.
func listed(root *node) (days []string) {
	for _, list := range root.all(func(n *node) bool { return n.attr["class"] == "days" }) {
		for _, a := range list.named("a") {
			days = append(days, a.attr["href"][strings.LastIndex(a.attr["href"], "/")+1:])
		}
	}
	return days
}

// Pages of boats elsewhere: their calendar, the moments that they ask about, and the
// sheet to print.
func TestElsewhere(t *testing.T) {
	for _, p := range ports {
		s := p.stand(t, nil)
		t.Run(p.name+"/calendar", func(t *testing.T) { weekIsTheCalendar(t, p, s) })
		t.Run(p.name+"/why", func(t *testing.T) { whyIsAskedByTheClock(t, p, s) })
		t.Run(p.name+"/sheet", func(t *testing.T) { sheetIsOfItsDay(t, p, s) })
		assert.Empty(t, s.faults)
	}
}

// Wherever a boat lies, its week lists the days of the calendar, each once, and each
// leads to the page of that day, with its own hours and no others.
func weekIsTheCalendar(t *testing.T, p port, s *stand) {
	loc, err := time.LoadLocation(p.zone)
	require.NoError(t, err)
	w := s.get("/week/kittiwake")
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	days := listed(decent(t, "/week", w.Body.String()))
	require.Greater(t, len(days), 4)
	first, err := time.Parse(time.DateOnly, days[0])
	require.NoError(t, err)
	for i, d := range days {
		require.Equal(t, first.AddDate(0, 0, i).Format(time.DateOnly), d, "the calendar has no other days")
	}
	assert.Equal(t, p.now.In(loc).Format(time.DateOnly), days[0], "it begins with today, as it is there")
	for i, d := range days {
		if i > 3 && i < len(days)-1 {
			continue
		}
		page := s.get("/day/kittiwake/" + d)
		require.Equal(t, http.StatusOK, page.Code, d)
		root := decent(t, d, page.Body.String())
		date := first.AddDate(0, 0, i)
		assert.Equal(t, date.Format("Monday 2 January"), root.named("h1")[0].text())
		for _, a := range root.named("a") {
			if by, ok := map[string]int{"prev": -1, "next": 1}[a.attr["rel"]]; ok {
				assert.Equal(t, "/day/kittiwake/"+date.AddDate(0, 0, by).Format(time.DateOnly), a.attr["href"])
			}
		}
	}
}

// A day has the hours that the clock there gives it: 23 where it goes forward, 25 where
// it goes back, and none twice or left out in between.
func TestADayHasItsOwnHours(t *testing.T) {
	for name, c := range map[string]struct {
		port
		day         string
		hours       int
		first, last string
	}{
		"forward":         {ports[7], "2026-03-08", 23, "00:00", "23:00"},
		"back":            {ports[6], "2026-11-01", 25, "00:00", "23:00"},
		"as ever":         {ports[6], "2026-10-31", 24, "00:00", "23:00"},
		"no midnight":     {ports[2], "2026-09-06", 23, "01:00", "23:00"},
		"the day before":  {ports[2], "2026-09-05", 24, "00:00", "23:00"},
		"in spring":       {ports[3], "2026-03-08", 23, "01:00", "23:00"},
		"three quarters":  {ports[1], "2026-09-28", 24, "00:45", "23:45"},
		"and one is lost": {ports[1], "2026-09-27", 23, "00:45", "23:45"},
	} {
		s := c.stand(t, nil)
		w := s.get("/day/kittiwake/" + c.day)
		require.Equal(t, http.StatusOK, w.Code, name)
		table := decent(t, name, w.Body.String()).all(func(n *node) bool { return n.name == "table" && n.attr["class"] == "hours" })
		require.Len(t, table, 1, name)
		var hours []string
		for _, th := range table[0].named("th") {
			if th.attr["scope"] == "row" {
				hours = append(hours, th.text())
			}
		}
		require.NotEmpty(t, hours, name)
		assert.Equal(t, c.first, hours[0], name)
		assert.Equal(t, c.last, hours[len(hours)-1], name)
		assert.Len(t, hours, c.hours, name)
		if name == "back" {
			assert.Equal(t, []string{"01:00 EDT", "01:00 EST", "02:00"}, hours[1:4], "the hour that comes twice is told apart")
		}
		slices.Sort(hours)
		assert.Len(t, slices.Compact(hours), c.hours, "%s: no hour has the name of another", name)
	}
}

// Days beyond the forecast are told with the days that it has; a date that is none is
// not guessed at.
func TestDaysThatAreNotThere(t *testing.T) {
	for _, p := range []port{ports[2], ports[6]} {
		s := p.stand(t, nil)
		days := listed(parsePage(t, s.get("/week/kittiwake").Body.String()))
		first, err := time.Parse(time.DateOnly, days[0])
		require.NoError(t, err)
		last, err := time.Parse(time.DateOnly, days[len(days)-1])
		require.NoError(t, err)
		for _, d := range []string{first.AddDate(0, 0, -1).Format(time.DateOnly), last.AddDate(0, 0, 1).Format(time.DateOnly), "2026-02-29", "2026-13-01", "20260906", "today", "0000-00-00", "2026-9-6"} {
			w := s.get("/day/kittiwake/" + d)
			assert.Equal(t, http.StatusNotFound, w.Code, d)
			says(t, decent(t, d, w.Body.String()).text(), "The forecast reaches from "+first.Format("Monday 2 January")+" to "+last.Format("Monday 2 January")+".")
		}
	}
}

// Every question that a page asks about a moment is answered for that moment, as the
// clock there has it, east and west of Greenwich and on both sides of a change.
func whyIsAskedByTheClock(t *testing.T, p port, s *stand) {
	loc, err := time.LoadLocation(p.zone)
	require.NoError(t, err)
	root := parsePage(t, s.get("/day/kittiwake/"+p.now.In(loc).AddDate(0, 0, 2).Format(time.DateOnly)).Body.String())
	links := root.all(func(n *node) bool { return strings.HasPrefix(n.attr["href"], "/why/") })
	require.NotEmpty(t, links)
	u, err := url.Parse(links[0].attr["href"])
	require.NoError(t, err)
	at, err := time.Parse(time.RFC3339, u.Query().Get("at"))
	require.NoError(t, err, "a plus sign has to live through the address: %s", u)
	w := s.get(u.String())
	require.Equal(t, http.StatusOK, w.Code)
	why := decent(t, p.name, w.Body.String())
	slot := at.Truncate(10 * time.Minute).In(loc)
	assert.Equal(t, "port side with polymer sealant, "+slot.Format("15:04"), why.named("h1")[0].text())
	says(t, why.text(), "Every limit at "+slot.Format("Mon 2 Jan 15:04"))
}

// Where the sun does not rise or does not set the pictures are drawn, and the hour that
// is asked for is the hour that is shown.
func TestTheSunThatStays(t *testing.T) {
	for _, p := range []port{ports[4], ports[5], ports[2]} {
		s := p.stand(t, nil)
		days := listed(parsePage(t, s.get("/week/kittiwake").Body.String()))
		for _, hour := range []string{"0", "12", "23"} {
			path := "/day/kittiwake/" + days[2] + "?hour=" + hour
			root := decent(t, path, s.get(path).Body.String())
			assert.Equal(t, hour, input(t, root, "hour").attr["value"])
			require.NotEmpty(t, root.all(func(n *node) bool { return n.attr["id"] == "boat-at" })[0].named("svg"), "%s %s", p.name, path)
		}
		for _, odd := range []string{"24", "-1", "x", ""} {
			root := parsePage(t, s.get("/day/kittiwake/"+days[2]+"?hour="+odd).Body.String())
			assert.Equal(t, "12", input(t, root, "hour").attr["value"], "noon where no hour of a day is asked for")
		}
	}
}

// A shared page names its day once: the date of the heading is the date of the planned
// work, of the sheet and of the address.
func sheetIsOfItsDay(t *testing.T, p port, s *stand) {
	w, err := s.desk.Week(t.Context(), "kittiwake")
	require.NoError(t, err)
	if w.Answer.Plan == nil || len(w.Answer.Plan.Blocks) == 0 {
		assert.Equal(t, "Polar night", p.name, "only there nothing may be sealed")
		return
	}
	b := w.Answer.Plan.Blocks[0]
	root := decent(t, p.name, s.get("/day/kittiwake/"+isoDay(b.From)+"/sheet").Body.String())
	assert.Equal(t, longDay(b.From), root.named("h1")[0].text())
	says(t, root.text(), hours(b.From, b.To), "Kittiwake at "+p.name, "Seal port side, polymer sealant ("+b.State+")")
}
