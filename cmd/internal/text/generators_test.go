package text

import (
	"math"
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

// Generators of odd answers.

func anyName() *rapid.Generator[string] {
	return rapid.OneOf(rapid.SampledFrom([]string{"port side", "starboard side", "foredeck", "⛵ 船", "", strings.Repeat("long ", 40)}),
		rapid.StringN(0, 200, 400))
}

func anyTime() *rapid.Generator[time.Time] {
	return rapid.Custom(func(t *rapid.T) time.Time {
		return at("8 00:00").Add(time.Duration(rapid.IntRange(0, 16*144).Draw(t, "slots")) * 10 * time.Minute)
	})
}

func anyMaybe[T any](g *rapid.Generator[T]) *rapid.Generator[*T] {
	return rapid.Custom(func(t *rapid.T) *T {
		if rapid.Bool().Draw(t, "absent") {
			return nil
		}
		x := g.Draw(t, "value")
		return &x
	})
}

func anyNumber() *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64Range(-60, 1500), rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), -1e300}))
}

func anyBinding() *rapid.Generator[answer.Binding] {
	var limits []string
	for l := range reasons() {
		limits = append(limits, l)
	}
	slices.Sort(limits)
	return rapid.Custom(func(t *rapid.T) answer.Binding {
		return answer.Binding{
			Limit: rapid.SampledFrom(append(limits, "tide")).Draw(t, "limit"),
			Text:  anyName().Draw(t, "text"),
			Value: anyMaybe(anyNumber()).Draw(t, "value"),
			Bound: anyMaybe(anyNumber()).Draw(t, "bound"),
		}
	})
}

func anyWindow() *rapid.Generator[answer.Window] {
	return rapid.Custom(func(t *rapid.T) answer.Window {
		from := anyTime().Draw(t, "from")
		pair := rapid.Custom(func(t *rapid.T) [2]float64 { return [2]float64{anyNumber().Draw(t, "a"), anyNumber().Draw(t, "b")} })
		return answer.Window{
			Rank:       rapid.IntRange(0, 999).Draw(t, "rank"),
			Step:       anyName().Draw(t, "step"),
			Product:    anyName().Draw(t, "product"),
			Zone:       anyName().Draw(t, "zone"),
			From:       from,
			To:         from.Add(time.Duration(rapid.IntRange(1, 300).Draw(t, "n")) * 10 * time.Minute),
			State:      rapid.SampledFrom([]string{"ideal", "go", "marginal"}).Draw(t, "state"),
			Confidence: rapid.Float64Range(0, 1).Draw(t, "c"),
			Binding:    anyBinding().Draw(t, "binding"),
			LastStart:  anyTime().Draw(t, "last"),
			WipeBy:     anyMaybe(anyTime()).Draw(t, "wipe"),
			WetAt:      anyMaybe(anyTime()).Draw(t, "wet"),
			WetBy:      anyName().Draw(t, "by"),
			RainFreeH:  anyMaybe(anyNumber()).Draw(t, "rain"),
			SectionM2:  anyMaybe(anyNumber()).Draw(t, "m2"),
			RewetMin:   anyMaybe(anyNumber()).Draw(t, "min"),
			SurfaceC:   anyMaybe(pair).Draw(t, "surface"),
			SpreadK:    anyMaybe(pair).Draw(t, "over"),
			Sunlit:     anyMaybe(rapid.Bool()).Draw(t, "sun"),
		}
	})
}

func anyWeek() *rapid.Generator[*answer.Week] {
	return rapid.Custom(func(t *rapid.T) *answer.Week {
		a := emptyWeek()
		a.Boat, a.Place.Name, a.Source.Name = anyName().Draw(t, "boat"), anyName().Draw(t, "place"), anyName().Draw(t, "source")
		a.Source.Members, a.Source.Dressed = rapid.IntRange(0, 51).Draw(t, "members"), rapid.IntRange(0, 30).Draw(t, "dressed")
		a.Source.AgeS = anyMaybe(rapid.Int64()).Draw(t, "age")
		a.Windows = rapid.SliceOfN(anyWindow(), 0, 6).Draw(t, "windows")
		for range rapid.IntRange(0, 6).Draw(t, "refusals") {
			from := anyTime().Draw(t, "from")
			a.Refusals = append(a.Refusals, answer.Refusal{
				Step:    anyName().Draw(t, "step"),
				Zone:    anyName().Draw(t, "zone"),
				From:    from,
				To:      from.Add(time.Duration(rapid.IntRange(1, 300).Draw(t, "n")) * 10 * time.Minute),
				State:   rapid.SampledFrom([]string{"no-go", "unknown"}).Draw(t, "state"),
				Binding: anyBinding().Draw(t, "binding"),
				Clears:  anyMaybe(anyTime()).Draw(t, "clears"),
			})
		}
		if rapid.Bool().Draw(t, "headline") {
			a.Headline = &answer.Headline{
				Step:   anyName().Draw(t, "step"),
				Best:   rapid.SliceOfN(anyWindow(), 0, 3).Draw(t, "best"),
				Next:   rapid.SliceOfN(anyWindow(), 0, 3).Draw(t, "next"),
				Breaks: rapid.SliceOfN(anyName(), 0, 3).Draw(t, "breaks"),
				WhyNot: rapid.SliceOfN(anyName(), 0, 2).Draw(t, "why"),
			}
		}
		h := &a.Zones[0].Hours[0]
		h.AirC, h.RainMM, h.SurfaceC, h.WindMS = anyMaybe(anyNumber()).Draw(t, "air"), anyMaybe(anyNumber()).Draw(t, "mm"), anyMaybe(anyNumber()).Draw(t, "s"), anyMaybe(anyNumber()).Draw(t, "w")
		a.Cautions = append(a.Cautions, answer.Caution{
			Kind:   anyName().Draw(t, "kind"),
			Level:  anyName().Draw(t, "level"),
			Text:   anyName().Draw(t, "text"),
			Value:  anyMaybe(anyNumber()).Draw(t, "v"),
			Unit:   anyName().Draw(t, "unit"),
			From:   anyMaybe(anyTime()).Draw(t, "cf"),
			To:     anyMaybe(anyTime()).Draw(t, "ct"),
			Source: anyName().Draw(t, "src"),
		})
		a.Warnings = rapid.SliceOfN(anyName(), 0, 2).Draw(t, "warnings")
		return a
	})
}
