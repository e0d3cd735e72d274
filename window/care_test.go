package window_test

import (
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A range counts by its later end; a class that says neither asks nothing. The hours of
// soap are the catalogue's: about a week for a ceramic (common practice, no source).
func TestCareOf(t *testing.T) {
	f := calm(8)
	on := f.Start.Add(82 * time.Hour)
	r := evaluate(t, f, smallJob(t, "varnish"), on)
	of := func(id string) window.Care {
		c, ok := catalogue(t).Class(id)
		require.True(t, ok)
		return window.CareOf(r, &c, 0, on)
	}
	assert.Equal(t, on.Add(168*time.Hour), of("consumer-ceramic").Soap, "5 to 7 days")
	assert.Zero(t, of("soap-wash"))
	assert.Zero(t, of("carnauba-wax"), "touched at once")
	assert.Zero(t, of("clear-vinyl-protectant").Soap)

	plain := products.Class{HandleH: products.Range{Given: true, Min: 2, Max: 4}}
	assert.Equal(t, window.Care{Touch: on.Add(4 * time.Hour)}, window.CareOf(r, &plain, 0, on))
	plain.HandleH = products.Range{Given: true, Min: 1, Max: 1, NoMax: true}
	assert.Equal(t, on.Add(time.Hour), window.CareOf(r, &plain, 0, on).Touch)
	plain.HandleH.Given = false
	assert.Zero(t, window.CareOf(r, &plain, 0, on))
}

// Hours at 20 °C are longer in the cold, and may reach past the forecast: soft, then, and
// never a time that nobody knows.
func TestCareOf_Cold(t *testing.T) {
	c, ok := catalogue(t).Class("varnish")
	require.True(t, ok)
	require.True(t, c.Equivalent)
	touch := func(warmer float64) window.Care {
		f := calm(8)
		shiftAir(f, warmer)
		on := f.Start.Add(82 * time.Hour)
		return window.CareOf(evaluate(t, f, smallJob(t, "varnish"), on), &c, 0, on)
	}
	mild, cold := touch(0), touch(-6)
	assert.True(t, cold.Touch.After(mild.Touch))
	frozen := touch(-60)
	assert.True(t, frozen.Soft)
	assert.Zero(t, frozen.Touch)
}
