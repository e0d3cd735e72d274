package openmeteo

import (
	"fmt"
	"slices"
	"strings"

	"dewgap/forecast"
)

// chooseModel settles which model to read: the one asked for; else the only
// one; else the first that has all that a verdict needs, one with rain and sun
// before one without. The text says what was chosen and why.
func chooseModel(columns []column, asked string) (model, text string, err error) {
	models := modelsOf(columns)
	if slices.Contains(models, asked) && (asked != "" || len(models) == 1) {
		return asked, "", nil
	}
	if asked != "" && (len(models) > 1 || models[0] != "") {
		return "", "", errorf("take one of "+strings.Join(models, ", "), "it has no model %q", asked)
	}
	best, grade := bestModel(columns, models)
	switch {
	case asked != "":
		text = fmt.Sprintf("the reply does not name its model: whether it is %s is unknown", asked)
	case len(models) > 1:
		text = fmt.Sprintf("the reply holds %d models: %s is taken, %s", len(models), nameOf(best), grades[grade])
	}
	return best, text, nil
}

func nameOf(model string) string {
	if model == "" {
		return "the one without a name"
	}
	return model
}

// modelsOf lists the models in the order in which they first appear.
func modelsOf(columns []column) []string {
	var out []string
	for _, c := range columns {
		if !slices.Contains(out, c.model) {
			out = append(out, c.model)
		}
	}
	return out
}

// What a model has, from worst to best.
const (
	lacking = iota
	needed
	full
)

var grades = [...]string{
	lacking: "which lacks least, though none has temperature, humidity and wind",
	needed:  "the first with temperature, humidity and wind",
	full:    "the first with temperature, humidity, wind, rain and sun or cloud",
}

func bestModel(columns []column, models []string) (best string, grade int) {
	score := -1
	for _, m := range models {
		if g, s := gradeOf(columns, m); s > score {
			best, grade, score = m, g, s
		}
	}
	return best, grade
}

// gradeOf grades one model by the columns that hold any number. The score
// orders models within and between grades.
func gradeOf(columns []column, model string) (grade, score int) {
	var has [forecast.Quantities]bool
	for _, c := range columns {
		if c.model == model && !has[variables[c.of].quantity] {
			has[variables[c.of].quantity] = c.named()
		}
	}
	must := count(has[forecast.AirTemperature],
		has[forecast.Humidity] || has[forecast.DewPoint], has[forecast.WindSpeed])
	more := count(has[forecast.Precipitation],
		has[forecast.CloudCover] || has[forecast.GlobalRadiation] || has[forecast.DirectRadiation])
	switch {
	case must < 3:
		return lacking, must
	case more < 2:
		return needed, 3
	}
	return full, 4
}

func count(conditions ...bool) int {
	n := 0
	for _, c := range conditions {
		if c {
			n++
		}
	}
	return n
}
