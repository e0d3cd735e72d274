package draw

import (
	"strconv"
	"time"

	"dewgap/cmd/internal/answer"

	"pgregory.net/rapid"
)

// monthsOf is a year by its days, those that are only marginal, and those that
// nobody knows.
func monthsOf(days, consent, unknown [12]int) (out [12]*answer.SeasonMonth) {
	for m := range out {
		out[m] = &answer.SeasonMonth{Windows: days[m], Days: days[m], ConsentDays: consent[m], UnknownDays: unknown[m], Hours: float64(4 * days[m])}
	}
	return out
}

var (
	summer   = [12]int{0, 1, 8, 20, 31, 30, 28, 27, 24, 12, 3, 0}
	spring   = [12]int{0, 0, 5, 16, 22, 17, 9, 8, 18, 9, 1, 0}
	doubtful = [12]int{0, 0, 2, 9, 12, 15, 11, 10, 7, 4, 0, 0}
	maybe    = [12]int{3, 6, 9, 6, 0, 0, 2, 3, 4, 8, 6, 2}
	nobody   = [12]int{0, 28, 0, 0, 0, 3, 0, 0, 0, 0, 0, 0}
	never    = [12]int{}
)

// inventedSeason is the year of the invented setting: three products on five
// zones, with every mark that the picture has.
func inventedSeason() *answer.Season {
	s := &answer.Season{
		Format: answer.SeasonFormat, Job: "Clean and seal", Boat: "Kittiwake", Year: 2026, ShortestH: 2,
		Place:   answer.Place{Name: "Otter Quay", Latitude: 43.07, Longitude: -70.74, Timezone: "America/New_York"},
		Station: "Otter Quay, ME", Data: "invented", Gauged: [12]float64{0, .2, .5, 1, 1, 1, 1, 1, 1, 1, .9, .4},
		Warnings: []string{"the typical year has no rain gauge in Jan, Feb, Dec: wet hours there are estimated from damp air, cloud and visibility."},
	}
	row := func(product, name, zone string, days, consent, unknown [12]int) {
		s.Rows = append(s.Rows, answer.SeasonRow{Product: product, Name: name, Zone: zone, Suits: true, Months: monthsOf(days, consent, unknown)})
	}
	not := func(product, name, zone string) {
		s.Rows = append(s.Rows, answer.SeasonRow{Product: product, Name: name, Zone: zone})
	}
	for _, z := range []string{"port side", "starboard side", "transom", "foredeck", "starboard superstructure side"} {
		row("soap-wash", "soap wash", z, summer, maybe, never)
	}
	row("polymer-sealant", "polymer sealant", "port side", spring, maybe, never)
	row("polymer-sealant", "polymer sealant", "starboard side", spring, never, never)
	row("polymer-sealant", "polymer sealant", "transom", doubtful, maybe, nobody)
	not("polymer-sealant", "polymer sealant", "foredeck")
	not("polymer-sealant", "polymer sealant", "starboard superstructure side")
	not("teak-oil", "teak oil", "port side")
	row("teak-oil", "teak oil", "foredeck", doubtful, never, never)
	return s
}

// manyProducts is a year of thirty products on twenty zones.
func manyProducts() *answer.Season {
	s := inventedSeason()
	s.Rows = nil
	for p := range 30 {
		for z := range 20 {
			r := answer.SeasonRow{Product: "p" + strconv.Itoa(p), Name: "product number " + strconv.Itoa(p), Zone: "starboard superstructure " + strconv.Itoa(z),
				Suits: (p*z)%3 != 1, Months: monthsOf(spring, maybe, nobody)}
			s.Rows = append(s.Rows, r)
		}
	}
	return s
}

// seasons are answers of all kinds, good and poor.
func seasons() map[string]*answer.Season {
	out := map[string]*answer.Season{"usual": inventedSeason(), "thirty": manyProducts(), "empty": {}}
	names := inventedSeason()
	names.Boat, names.Place.Name, names.Station, names.Data = hostile[0], hostile[1], hostile[0], hostile[5]
	names.Warnings = hostile
	for i := range names.Rows {
		names.Rows[i].Zone, names.Rows[i].Name = hostile[i%len(hostile)], hostile[(i+3)%len(hostile)]
	}
	gone := inventedSeason()
	gone.Gauged = [12]float64{}
	for i := range gone.Rows {
		gone.Rows[i].Months = [12]*answer.SeasonMonth{}
	}
	odd := inventedSeason()
	for i := range odd.Rows {
		if odd.Rows[i].Suits {
			odd.Rows[i].Months[1] = &answer.SeasonMonth{Days: 400, ConsentDays: -7, UnknownDays: 900}
			odd.Rows[i].Months[5] = &answer.SeasonMonth{Days: -3, ConsentDays: 99}
		}
	}
	unsuited := inventedSeason()
	for i := range unsuited.Rows {
		unsuited.Rows[i].Suits = false
	}
	out["names"], out["nothing known"], out["odd"], out["unsuited"] = names, gone, odd, unsuited
	return out
}

// seasonOf draws any answer that can be: a few products on a few zones.
func seasonOf(rt *rapid.T) *answer.Season {
	s := inventedSeason()
	s.Rows = nil
	s.Year = rapid.IntRange(1999, 2030).Draw(rt, "year")
	for p := range rapid.IntRange(1, 4).Draw(rt, "products") {
		for z := range rapid.IntRange(1, 5).Draw(rt, "zones") {
			r := answer.SeasonRow{Product: "p" + strconv.Itoa(p), Name: "product " + strconv.Itoa(p), Zone: "zone " + strconv.Itoa(z), Suits: rapid.Bool().Draw(rt, "suits")}
			for m := range r.Months {
				if !r.Suits {
					continue
				}
				long := daysIn(s.Year, m)
				x := &answer.SeasonMonth{Days: rapid.IntRange(0, long).Draw(rt, "days")}
				x.ConsentDays = rapid.IntRange(0, long-x.Days).Draw(rt, "consent")
				x.UnknownDays = rapid.SampledFrom([]int{0, 0, 0, 1, long}).Draw(rt, "unknown")
				r.Months[m] = x
			}
			s.Rows = append(s.Rows, r)
		}
	}
	return s
}

// daysIn is the length of a month, from 0, of a year.
func daysIn(year, month int) int {
	return time.Date(year, time.Month(month+2), 0, 0, 0, 0, 0, time.UTC).Day()
}
