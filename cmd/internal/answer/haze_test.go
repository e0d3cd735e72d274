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

// hazeBoard is a board whose seal hazes 30 to 240 min at 20 °C and halves that per 10 K, on a
// panel of some °C by hours of the day; the hours between are as before them.
func hazeBoard(t *testing.T, panel map[int]float64) (*board, *window.Row) {
	b := newBoard(t, "seal")
	b.f.Classes.(classes)["seal-class"] = products.Class{
		ID: "seal-class", Do: "seal", People: 1, HazeMin: products.Range{Given: true, Min: 30, Max: 240}, HalvesPerK: 10,
	}
	c := 20.0
	for h := range b.f.Result.Zones[0].Hours {
		if warm, ok := panel[h+6]; ok {
			c = warm
		}
		b.f.Result.Zones[0].Hours[h].Surface = known(c)
	}
	return b, b.row("seal", "port side", night+"g none 17:00;x hours end")
}

// The last section hazes in its own hours, not in those of the best block: on a morning that
// warms it is hard long before, and in an evening that cools it hazes longer.
func TestHaze_OfTheLastSection(t *testing.T) {
	b, _ := hazeBoard(t, map[int]float64{15: 30})
	w := newBuilder(b.f).windows()[0]
	assert.Equal(t, &[2]float64{30, 240}, w.HazeMin, "07:00 to 09:00, at 20 °C")
	assert.Equal(t, []string{"16:50", "19:00"}, []string{w.LastSection.Format("15:04"), w.WipeBy.Format("15:04")}, "two hours at 30 °C")

	b, row := hazeBoard(t, map[int]float64{16: 10})
	b.f.Job.Hours = sevenToSix
	w = newBuilder(b.f).windows()[0]
	assert.Equal(t, []string{"16:50", "18:00"}, []string{w.LastSection.Format("15:04"), w.WipeBy.Format("15:04")}, "an hour to haze at 10 °C, and the crew's last")
	b.f.Result.Zones[0].Hours[17-6].Surface = known(0)
	w = newBuilder(b.f).windows()[0]
	// On by 16:30 it has half an hour at 10 °C, 15 of its 30; the rest takes an hour at 0 °C.
	assert.Equal(t, "16:20", w.LastSection.Format("15:04"))

	made := newBuilder(b.f)
	assert.Equal(t, "12:00", made.planWipe(row, b.slot("08:00"), made.hazing(row, [2]float64{30, 240})).Format("15:04"))
	b, row = hazeBoard(t, map[int]float64{9: 30})
	made = newBuilder(b.f)
	assert.Equal(t, "10:30", made.planWipe(row, b.slot("08:00"), made.hazing(row, [2]float64{30, 240})).Format("15:04"), "an hour at 20 °C and half of three at 30 °C")
	for h := range b.f.Result.Zones[0].Hours {
		b.f.Result.Zones[0].Hours[h].Surface = window.Value{}
	}
	assert.Equal(t, "10:00", made.planWipe(row, b.slot("08:00"), made.hazing(row, [2]float64{15, 120})).Format("15:04"), "as in the best block where nothing is known")
}

// What a section may and must haze lies between the clocks of its coolest and its warmest
// hour, and a clock that was measured is the same all day.
func TestHaze_BetweenItsHours(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		panel := map[int]float64{}
		coolest, warmest := 40.0, -10.0
		for h := 6; h < 48; h++ {
			panel[h] = rapid.Float64Range(-5, 40).Draw(rt, "°C")
			coolest, warmest = min(coolest, panel[h]), max(warmest, panel[h])
		}
		b, row := hazeBoard(t, panel)
		made := newBuilder(b.f)
		slot := b.slot("07:00") + rapid.IntRange(0, 60).Draw(rt, "slot")
		least, most := made.hazing(row, [2]float64{30, 240}).from(slot)
		quick, slow := hazeMinutes(row.Class, airOf(warmest, 60, 3)), hazeMinutes(row.Class, airOf(coolest, 60, 3))
		assert.LessOrEqual(rt, least, most)
		assert.True(rt, quick[0] <= least && least <= slow[0] && quick[1] <= most && most <= slow[1], "%v %v in %v to %v", least, most, quick, slow)
		b.f.Job.Steps[0].HazeMin = 42
		least, most = newBuilder(b.f).hazing(row, [2]float64{42, 42}).from(slot)
		assert.Equal(rt, [2]float64{42, 42}, [2]float64{least, most})
	})
}
