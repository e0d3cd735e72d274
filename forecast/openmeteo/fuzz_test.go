package openmeteo

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

// Whatever the bytes, the reader gives either a sound forecast or a ReadError.
func FuzzParse(f *testing.F) {
	seeds, err := filepath.Glob("../../testdata/replies/*.json")
	require.NoError(f, err)
	for _, name := range seeds {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(data, "")
	}
	f.Add(simple(nil), "icon_seamless")
	f.Fuzz(func(t *testing.T, data []byte, model string) {
		got, err := Parse(data, Options{Near: &quay, Model: model})
		if err != nil {
			var bad *forecast.ReadError
			if !errors.As(err, &bad) || got != nil || bad.Reason == "" {
				t.Fatalf("%v, %v", got, err)
			}
			return
		}
		sane(t, got)
	})
}

// bigReply is an ensemble of 51 members over 16 days in the variables that a
// live request asks for.
func bigReply(members, days int) []byte {
	random := rand.New(rand.NewPCG(1, 2))
	names := []struct {
		name, unit string
		low, high  float64
	}{
		{"temperature_2m", "°C", 5, 30}, {"relative_humidity_2m", "%", 30, 100}, {"dew_point_2m", "°C", 0, 20},
		{"surface_pressure", "hPa", 990, 1030}, {"precipitation", "mm", 0, 2}, {"weather_code", "wmo code", 0, 80},
		{"cloud_cover", "%", 0, 100}, {"wind_speed_10m", "m/s", 0, 15}, {"wind_gusts_10m", "m/s", 0, 25},
		{"wind_direction_10m", "°", 0, 360}, {"shortwave_radiation", "W/m²", 0, 900},
		{"direct_radiation", "W/m²", 0, 700}, {"diffuse_radiation", "W/m²", 0, 300}, {"visibility", "m", 1000, 30000},
	}
	var units, hourly strings.Builder
	units.WriteString(`"time":"unixtime"`)
	hourly.WriteString(`"time":[`)
	n := days * 24
	for i := range n {
		fmt.Fprintf(&hourly, ",%d", 1789048800+i*3600)
	}
	hourly.WriteString("]")
	for _, v := range names {
		for m := range members {
			key := v.name
			if m > 0 {
				key = fmt.Sprintf("%s_member%02d", v.name, m)
			}
			fmt.Fprintf(&units, `,%q:%q`, key, v.unit)
			fmt.Fprintf(&hourly, `,%q:[`, key)
			for range n {
				fmt.Fprintf(&hourly, ",%.1f", v.low+random.Float64()*(v.high-v.low))
			}
			hourly.WriteString("]")
		}
	}
	return fmt.Appendf(nil, `{"latitude":43.07,"longitude":-70.74,"utc_offset_seconds":0,"timezone":"GMT","hourly_units":{%s},"hourly":{%s}}`,
		units.String(), strings.ReplaceAll(hourly.String(), "[,", "["))
}

func TestBigEnsemble(t *testing.T) {
	data := bigReply(51, 16)
	f := parse(t, data, Options{})
	require.Len(t, f.Members, 51)
	require.Equal(t, 384, f.N)
	require.Empty(t, f.Warnings)
}

func BenchmarkParse51Members(b *testing.B) {
	data := bigReply(51, 16)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Parse(data, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
