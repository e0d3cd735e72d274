package surface

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// A frame keeps nothing of a member: each is brought onto the grid as it would be by
// itself, whatever came before it and whatever is missing of it. The grid reaches over
// both ends of the forecast, and beyond them nothing is known.
func TestFrameKeepsNothingOfAMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := benchForecast(2)
		f.Members = append(f.Members, benchForecast(2).Members[0])
		for m := range f.Members {
			for _, q := range []forecast.Quantity{
				forecast.AirTemperature, forecast.DewPoint, forecast.CloudCover, forecast.DirectRadiation,
				forecast.GlobalRadiation, forecast.UVIndex, forecast.Gust,
			} {
				from := rapid.IntRange(0, f.N).Draw(t, "from")
				for i := from; i < min(from+9, f.N); i++ {
					f.Members[m].Columns[q].Known[i] = false
				}
			}
		}
		s := NewSky(NewGrid(f.Start.Add(-PerHour*Slot), f.End().Add(2*PerHour*Slot)), 43.07, -70.74, Model{})
		site := Site{WindShare: 0.89, Members: true}
		frame := NewFrame(f, s, site, Model{})
		for _, m := range []int{1, 0, 1} {
			w := frame.Weather(&f.Members[m])
			require.Equal(t, NewWeather(f, &f.Members[m], s, site, Model{}), w)
			for i := range w.Flags {
				if i < PerHour || i >= s.Grid.N-2*PerHour {
					require.Zero(t, w.Flags[i]&^Thunder, "slot %d", i)
				}
			}
		}
	})
}
