package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"dewgap/cmd/internal/demo"

	"github.com/stretchr/testify/require"
)

// BenchmarkProcess measures the program from its start to its last line, as a person
// waits for it: the demo's job with its forecast in a warm cache, filled over loopback;
// and twelve zones with eight steps, sixteen days and 51 members, with a plan of 96
// blocks.
func BenchmarkProcess(b *testing.B) {
	program := filepath.Join(b.TempDir(), "dewgap")
	out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(b, err, string(out))
	b.Run("demo from a warm cache", func(b *testing.B) {
		data, err := demo.Reply(time.Now())
		require.NoError(b, err)
		asked := 0
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			asked++
			_, _ = w.Write(data)
		}))
		defer server.Close()
		home := b.TempDir()
		file := filepath.Join(home, "job.yaml")
		require.NoError(b, os.WriteFile(file, demo.JobFile(), 0o600))
		p := process{program: program, env: []string{
			"DEWGAP_HOME=" + home, "DEWGAP_OPENMETEO_ENSEMBLE_URL=" + server.URL,
		}}
		p.run(b, "week", "--job", file, "--source", "openmeteo-ensemble")
		for b.Loop() {
			p.run(b, "week", "--job", file, "--source", "openmeteo-ensemble")
		}
		require.Equal(b, 1, asked)
		p.report(b)
	})
	b.Run("51 members", func(b *testing.B) {
		home := b.TempDir()
		file, reply := filepath.Join(home, "job.yaml"), filepath.Join(home, "reply.json")
		start := time.Date(2026, 9, 7, 4, 0, 0, 0, time.UTC)
		require.NoError(b, os.WriteFile(file, []byte(twelveSides), 0o600))
		require.NoError(b, os.WriteFile(reply, manyMembers(start, 16*24, 51), 0o600))
		p := process{program: program, env: []string{"DEWGAP_HOME=" + home}}
		for b.Loop() {
			out := p.run(b, "week", "--job", file, "--forecast", reply, "--no-book",
				"--fetched", "2026-09-07T05:30:00-04:00", "--now", "2026-09-07T06:00:00-04:00")
			require.Contains(b, out, "96 blocks")
		}
		p.report(b)
	})
}

// process runs a program and notes the most memory that it took.
type process struct {
	program string
	env     []string
	most    int64 // bytes
}

// run gives what the program prints; it ends with 0 or 11: some window or none.
func (p *process) run(b *testing.B, args ...string) string {
	var stdout, stderr bytes.Buffer
	c := exec.Command(p.program, args...)
	c.Env, c.Stdout, c.Stderr = append(os.Environ(), p.env...), &stdout, &stderr
	_ = c.Run()
	require.Contains(b, []int{0, 11}, c.ProcessState.ExitCode(), stderr.String())
	p.most = max(p.most, peak(c.ProcessState))
	return stdout.String()
}

func (p *process) report(b *testing.B) {
	if p.most > 0 {
		b.ReportMetric(float64(p.most)/1e6, "peak-MB")
	}
}

// twelveSides is a boat of twelve zones with eight steps on each.
var twelveSides = func() string {
	var text bytes.Buffer
	text.WriteString(`job: Twelve sides
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York, machines: "08:00-17:00"}
boat: {name: Kittiwake, bow: 200, afloat: true}
zones:
`)
	for i := range 12 {
		fmt.Fprintf(&text, "  - {name: side %d, finish: white-gelcoat, tilt: %d, faces: %d, area_m2: %d}\n", i+1, 90-30*(i%4), 30*i, 4+i)
	}
	text.WriteString("steps:\n")
	for i, step := range []string{
		"wash, with: soap-wash", "correct, with: compound-dual-action", "correct, with: finishing-polish", "strip wash, with: soap-wash",
		"seal, with: polymer-sealant", "seal, with: spray-sealant", "wash, with: soap-wash", "seal, with: spray-sealant",
	} {
		fmt.Fprintf(&text, "  - {name: step %d, do: %s}\n", i+1, step)
	}
	text.WriteString("people: 4\nhours: \"07:00-19:00\"\n")
	return text.String()
}()

// manyMembers is a reply of Open-Meteo's ensemble format with invented weather: fair
// days that the members see more and more differently, and rain around noon on every
// sixth.
func manyMembers(start time.Time, hours, members int) []byte {
	random := rand.New(rand.NewPCG(1, 2))
	units := map[string]string{"time": "unixtime"}
	hourly := map[string][]float64{}
	for i := range hours {
		hourly["time"] = append(hourly["time"], float64(start.Unix())+3600*float64(i))
	}
	for m := range members {
		name := ""
		if m > 0 {
			name = fmt.Sprintf("_member%02d", m)
		}
		put := func(column, unit string, v float64) {
			units[column+name] = unit
			hourly[column+name] = append(hourly[column+name], math.Round(v*10)/10)
		}
		bias, drift := random.NormFloat64(), 0.0
		for i := range hours {
			hour, day, lead := float64(i%24), i/24, float64(i)/float64(hours)
			drift = 0.95*drift + 0.3*random.NormFloat64()
			sun := max(0, math.Sin((hour-6)/12*math.Pi))
			wet := day%6 == 5 && hour >= 9 && hour < 15
			cloud, rain, code := min(100, max(0, 35+20*math.Sin(1.3*float64(day))+10*drift)), 0.0, 2.0
			if wet {
				cloud, rain, code = 95, 1.2, 61
			}
			air := 17 + 5*math.Sin((hour-9)/12*math.Pi) + 2*lead*(bias+drift)
			dew := min(air-0.5, 10+drift*lead)
			global := 720 * sun * (1 - 0.7*cloud/100)
			diffuse := global * min(1, 0.25+0.7*cloud/100)
			wind := max(0.3, 2.5+1.5*sun+0.4*drift)
			put("temperature_2m", "°C", air)
			put("dew_point_2m", "°C", dew)
			put("relative_humidity_2m", "%", 100*math.Exp(17.6*dew/(243+dew)-17.6*air/(243+air)))
			put("wind_speed_10m", "m/s", wind)
			put("wind_gusts_10m", "m/s", 1.5*wind)
			put("wind_direction_10m", "°", 230)
			put("precipitation", "mm", rain)
			put("cloud_cover", "%", cloud)
			put("surface_pressure", "hPa", 1015)
			put("shortwave_radiation", "W/m²", global)
			put("direct_radiation", "W/m²", global-diffuse)
			put("diffuse_radiation", "W/m²", diffuse)
			put("weather_code", "wmo code", code)
		}
	}
	data, err := json.Marshal(map[string]any{
		"latitude": 43.07, "longitude": -70.74, "elevation": 2, "utc_offset_seconds": 0, "timezone": "America/New_York",
		"hourly_units": units, "hourly": hourly,
	})
	if err != nil {
		panic(err)
	}
	return data
}
