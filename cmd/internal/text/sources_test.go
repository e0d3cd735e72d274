package text

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoServices is an answer by two services, of one day.
func twoServices(t testing.TB) *answer.Sources {
	at := func(text string) *time.Time {
		v, err := time.Parse(time.RFC3339, "2026-09-"+text+":00-04:00")
		require.NoError(t, err)
		return &v
	}
	f := func(v float64) *float64 { return &v }
	age := int64(2400)
	service := func(name string) answer.Service {
		return answer.Service{Name: name, Usable: true, Source: &answer.Source{Name: name, AgeS: &age, Members: 1, Attribution: "Credit " + name, Licence: "free"},
			Ends: at("17T06:00"), HorizonH: f(168), Verdict: "go", Command: "dewgap week --job job.yaml --source " + name}
	}
	day := func(name string) answer.ServiceDay {
		return answer.ServiceDay{Service: name, Hours: 24, AirC: &[2]float64{12, 20}, DewPointC: &[2]float64{8, 8}, WindMS: f(3), GustMS: f(4.5), RainMM: f(0)}
	}
	wet := day("metnorway")
	wet.RainMM, wet.RainFrom, wet.RainTo = f(2.5), at("10T12:00"), at("10T16:00")
	ensemble := service("metnorway")
	ensemble.Source.Members, ensemble.Verdict = 51, "no-go"
	return &answer.Sources{
		Boat: "Kittiwake", Now: *at("10T06:00"), Place: answer.Place{Name: "Otter Quay"},
		Services: []answer.Service{service("nws"), ensemble, {Name: "openmeteo", Why: "it is not chosen", Fix: "choose it"}},
		Steps: []answer.SourcesStep{{Step: "seal", Do: "seal", Differ: true, ApartH: f(3.5), First: []answer.ServiceFirst{
			{Service: "nws", At: at("10T08:20"), Zone: "port side", State: "go"}, {Service: "metnorway", At: at("10T11:50"), Zone: "foredeck", State: "marginal"}}}},
		Days:     []answer.SourcesDay{{Date: "2026-09-10", Services: []answer.ServiceDay{day("nws"), wet}, Differ: []string{"rain"}}},
		DifferBy: answer.DifferBy{AirC: 2, DewPointC: 2, WindMS: 2, RainH: 2, FirstH: 2},
	}
}

func sourcesText(t testing.TB, a *answer.Sources, o Options) string {
	var b strings.Builder
	require.NoError(t, Sources(&b, a, o))
	return b.String()
}

func TestSourcesScreen(t *testing.T) {
	out := sourcesText(t, twoServices(t), Options{})
	lines := strings.Split(out, "\n")
	assert.Equal(t, "SOURCES: Kittiwake at Otter Quay, Thu 10 Sep 06:00", lines[0])
	flat := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{
		"They agree on air; dew point; wind. They differ on rain every day; the first go of seal by 3 h 30.",
		"made 40 min old 40 min old", "reaches to Thu 17 Sep 06:00", "futures one 51", "the week + GO x NO-GO",
		"<> seal Thu 10 Sep 08:20 Thu 10 Sep 11:50", "port side ! foredeck", "air 12-20 °C 12-20 °C", "wind, gusts 3.0, 4.5 m/s",
		"<> rain none 12:00-16:00 2.5 mm", "NOT USED openmeteo: it is not chosen. Fix: choose it.", "dewgap week --job job.yaml --source metnorway", "Credit nws",
	} {
		assert.Contains(t, flat, want)
	}
	for _, l := range lines {
		assert.LessOrEqual(t, cells(l), 80, l)
	}
	us := strings.Join(strings.Fields(sourcesText(t, twoServices(t), Options{Units: "us"})), " ")
	assert.Contains(t, us, "air 54-68 °F")
	assert.Contains(t, us, "7, 11 mph")
	assert.Contains(t, us, "12:00-16:00 0.1 in")
	assert.Contains(t, us, "air by 3.6 °F")
}

func TestSourcesScreenOfFew(t *testing.T) {
	a := twoServices(t)
	a.Services = a.Services[:1]
	a.Steps[0].First[0] = answer.ServiceFirst{Service: "nws", State: "unknown"}
	out := sourcesText(t, a, Options{})
	assert.Contains(t, out, "Only nws could be used")
	assert.Contains(t, out, "? UNKNOWN")
	assert.NotContains(t, out, "where those that know", "nothing is compared")

	a = &answer.Sources{Services: []answer.Service{{Name: "nws", Why: "HTTP 503"}}, Place: answer.Place{Latitude: 43.07, Longitude: -70.74}}
	out = sourcesText(t, a, Options{})
	assert.Contains(t, out, "No service could be used.")
	assert.Contains(t, out, "43.07,-70.74")
	assert.Contains(t, out, "nws: HTTP 503.")
	assert.NotContains(t, out, "THE PLAN")
}

// Whatever an answer holds, no line is too wide and nothing panics.
func TestSourcesScreenOfAnything(t *testing.T) {
	a := twoServices(t)
	a.Boat, a.Steps[0].Step = strings.Repeat("long ", 40), strings.Repeat("x", 200)
	a.Days = append(a.Days, answer.SourcesDay{Date: "no day"}, answer.SourcesDay{Date: "2026-09-11", Services: []answer.ServiceDay{{Service: "nws"}}})
	for _, n := range []int{60, 80, 100} {
		for _, l := range strings.Split(sourcesText(t, a, Options{Width: n}), "\n") {
			assert.LessOrEqual(t, cells(l), n, l)
		}
	}
}
