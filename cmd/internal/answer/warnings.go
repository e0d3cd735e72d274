package answer

import (
	"fmt"
	"slices"
	"strconv"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/surface"
)

// warnings gathers, each once, what deserves a word: of the age of the
// forecast, of whoever gathered the facts, of job, forecast and products, and of
// values that were derived.
func (b *builder) warnings() []string {
	out := []string{}
	add := func(list ...string) {
		for _, w := range list {
			if w != "" && !slices.Contains(out, w) {
				out = append(out, w)
			}
		}
	}
	add(b.Trust.Why)
	add(b.Warnings...)
	add(b.Job.Warnings...)
	add(b.Forecast.Warnings...)
	if b.blind() {
		add("no reading makes up for what the forecast lacks: ask another service or model; dewgap sources shows what each has")
	}
	add(b.Result.Warnings...)
	add(b.derived()...)
	for _, s := range b.Job.Steps {
		if c, ok := b.Classes.Class(s.With); ok {
			add(c.Remarks...)
		}
	}
	return out
}

// derived words the quantities that came by a link of their chain other than
// the first.
func (b *builder) derived() []string {
	d := b.Result.Derived
	rainTold, rainWhy := b.rainTold()
	var out []string
	for _, x := range []struct {
		slots int
		text  string
	}{
		{d.Gust, "gusts are taken as 1.5 times the wind"},
		{d.Sunlight, "sunlight is worked out from global radiation or cloud"},
		{d.UV, "the UV index is worked out from a clear sky, cloud and 300 DU of ozone"},
		{d.Rain, rainTold},
		{d.DewPoint, "the dew point is worked out from humidity"},
		{d.Cloud, "cloud is worked out from sunlight"},
	} {
		if x.slots <= surface.PerHour { // every forecast's last hour knows its instants only
			continue
		}
		text := x.text
		if hours := float64(x.slots) / surface.PerHour; x.slots < b.Result.Slots {
			text = fmt.Sprintf("%s in %.0f of %.0f hours", text, hours, float64(b.Result.Slots)/surface.PerHour)
		}
		why := "the forecast does not give it there"
		if x.text == rainTold {
			why = rainWhy
		}
		out = append(out, text+": "+why)
	}
	return out
}

// rainTold is how rain is known that is not stated hour by hour, and what that means: by
// its probability, or as an amount over several hours, of which nobody knows the one in
// which it falls.
func (b *builder) rainTold() (text, why string) {
	for i := range b.Forecast.Members {
		if b.Forecast.Members[i].Columns[forecast.PrecipitationProbability].Any() {
			return "rain is told by its probability, 30 % counting as rain", "the forecast does not give it there"
		}
	}
	return "rain is stated for several hours at once", "where some falls, each of them counts as wet"
}

// percent turns a share into percent.
func percent(v window.Value) window.Value {
	v.V *= 100
	return v
}

// plural counts things in words: "1 day", "6 days".
func plural(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}
