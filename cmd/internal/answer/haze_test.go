package answer

import (
	"testing"

	"dewgap/products"
	"dewgap/window"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// air in which a haze clock runs.
func airOf(surface, humidity, wind float64) hazeAir {
	var a hazeAir
	a.add(window.Hour{Humidity: known(humidity), Wind: known(wind)}, window.ZoneHour{Surface: known(surface)})
	return a
}

// The factors are common practice, no source: working times double for every
// 10 K below 20 °C; × 1.5 at 80 % and × 2 at 90 %; × 0.8 above 4 m/s.
func TestHazeMinutes(t *testing.T) {
	wax := products.Class{HazeMin: products.Range{Given: true, Min: 30, Max: 240}, HalvesPerK: 10, HazeInDamp: true}
	reactive := wax
	reactive.HazeInDamp = false
	steady := wax
	steady.HalvesPerK = 0
	for _, c := range []struct {
		class                   products.Class
		surface, humidity, wind float64
		least, most             float64
	}{
		{wax, 20, 50, 2, 30, 240},
		{wax, 20, 60, 4, 30, 240},
		{wax, 10, 50, 2, 60, 480},
		{wax, 30, 50, 2, 15, 120},
		{wax, 15, 50, 2, 43, 339}, // 30·√2 = 42.4 up, 240·√2 = 339.4 down
		{wax, 20, 70, 2, 38, 300}, // × 1.25
		{wax, 20, 80, 2, 45, 360},
		{wax, 20, 85, 2, 53, 420},
		{wax, 20, 90, 2, 60, 480},
		{wax, 20, 100, 2, 60, 480},
		{wax, 20, 50, 4.1, 24, 192},
		{reactive, 20, 90, 6, 30, 240},
		{steady, 5, 50, 2, 30, 240},
	} {
		assert.Equal(t, &[2]float64{c.least, c.most}, hazeMinutes(c.class, airOf(c.surface, c.humidity, c.wind)), "%+v", c)
	}
	assert.Nil(t, hazeMinutes(wax, hazeAir{}), "without a surface temperature there is no clock")
}

func TestHazeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		class := products.Class{HalvesPerK: 10, HazeMin: products.Range{
			Given: true, Min: rapid.Float64Range(0, 60).Draw(t, "min"), Max: rapid.Float64Range(60, 300).Draw(t, "max"),
		}}
		cold := rapid.Float64Range(-5, 40).Draw(t, "cold")
		warm := rapid.Float64Range(cold, 40).Draw(t, "warm")
		a, b := hazeMinutes(class, airOf(cold, 50, 1)), hazeMinutes(class, airOf(warm, 50, 1))
		assert.LessOrEqual(t, a[0], a[1])
		assert.GreaterOrEqual(t, a[1], b[1], "warmer is quicker")
	})
}

func TestTestPatchOutranksTheClass(t *testing.T) {
	board := newBoard(t, "seal")
	row := board.row("seal", "port side", "x hours 08:00;g surface_min 12:00;x hours end")
	b := newBuilder(board.f)
	assert.Nil(t, b.haze(row, &row.Windows[0]), "the class has no such clock")
	board.f.Job.Steps[0].HazeMin = 42
	assert.Equal(t, &[2]float64{42, 42}, b.haze(row, &row.Windows[0]))
}
