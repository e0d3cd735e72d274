package answer_test

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// week is the demo's answer, with everything real but the weather.
func week(t *testing.T, now string) *answer.Week {
	at, err := time.Parse(time.RFC3339, now)
	require.NoError(t, err)
	classes, err := products.Catalogue()
	require.NoError(t, err)
	a := app.App{Source: demo.Source{Clock: app.At(at)}, Clock: app.At(at), Classes: classes}
	w, err := a.Week(context.Background(), app.Request{Job: func(string) (*job.Job, error) { return demo.Job(classes) }})
	require.NoError(t, err)
	return w
}

// Windows and refusals together cover every slot of the horizon once, for every
// step on every zone: through the night on which the clock is put back, too.
func TestCoverage(t *testing.T) {
	for _, now := range []string{"2026-09-07T06:00:00-04:00", "2026-10-28T11:23:45-04:00", "2026-03-05T23:55:00-05:00"} {
		w := week(t, now)
		type key struct{ step, zone string }
		slots := map[key]map[time.Time]int{}
		count := func(k key, from, to time.Time) {
			if slots[k] == nil {
				slots[k] = map[time.Time]int{}
			}
			for at := from; at.Before(to); at = at.Add(10 * time.Minute) {
				slots[k][at.UTC()]++
			}
		}
		for _, x := range w.Windows {
			count(key{x.Step, x.Zone}, x.From, x.To)
		}
		for _, x := range w.Refusals {
			count(key{x.Step, x.Zone}, x.From, x.To)
		}
		assert.Len(t, slots, 16, "four steps on four zones")
		for k, s := range slots {
			for at := w.From; at.Before(w.To); at = at.Add(10 * time.Minute) {
				require.Equal(t, 1, s[at.UTC()], "%v at %v", k, at)
			}
			assert.Len(t, s, int(w.To.Sub(w.From)/(10*time.Minute)), "%v", k)
		}
	}
}

func TestSameInputsSameBytes(t *testing.T) {
	var first, second bytes.Buffer
	require.NoError(t, answer.Write(&first, week(t, "2026-09-07T06:00:00-04:00")))
	require.NoError(t, answer.Write(&second, week(t, "2026-09-07T06:00:00-04:00")))
	assert.Equal(t, first.String(), second.String())
	assert.Equal(t, 1, bytes.Count(first.Bytes(), []byte("\n")), "one line")
}

// Lists are lists, times have the place's offset, numbers have no dust.
func TestShapeOfTheJSON(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, answer.Write(&out, week(t, "2026-09-07T06:00:00-04:00")))
	var v any
	require.NoError(t, json.Unmarshal(out.Bytes(), &v))
	walk(t, "", v)
}

var mayBeNull = map[string]bool{
	"plan": true, "issued": true, "age_s": true, "clears": true, "value": true, "bound": true, "area_m2": true,
	"faces_deg": true, "go_block": true, "next_wet_at": true, "wipe_by": true, "last_section": true, "section_m2": true, "rewet_min": true, "haze_min": true,
	"rain_free_until_h": true, "dew_free_until_h": true, "sunlit": true, "surface_c": true, "spread_k": true,
	"film_g_m2": true, "sunlight_w_m2": true, "uv_index": true, "rain_mm": true, "gust_m_s": true,
	"since": true, "full_cure_h": true, "halves_per_k": true, "length_m": true, "from_deg": true, // of the scene
}

func walk(t *testing.T, path string, v any) {
	switch x := v.(type) {
	case map[string]any:
		for k, inner := range x {
			if inner == nil {
				assert.True(t, mayBeNull[k], "%s.%s is null", path, k)
				continue
			}
			walk(t, path+"."+k, inner)
		}
	case []any:
		for _, inner := range x {
			walk(t, path+"[]", inner)
		}
	case string:
		if at, err := time.Parse(time.RFC3339, x); err == nil {
			_, offset := at.Zone()
			assert.Equal(t, -4*3600, offset, path)
		}
	case float64:
		assert.InDelta(t, x*1e6, float64(int64(x*1e6+0.5*sign(x))), 1e-3, "%s has dust: %v", path, x)
	}
}

func sign(v float64) float64 {
	if v < 0 {
		return -1
	}
	return 1
}
