package cli

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// wrongFlag is wrong usage of one flag: what is wrong with its value, and as the
// fix what the error itself advises behind its last colon, so that nothing is
// said twice.
func wrongFlag(flag string, err error) error {
	text, fix := err.Error(), "see --help"
	if wrong, ok := errors.AsType[job.Error](err); ok && wrong.Fix != "" {
		text, fix = wrong.Message, wrong.Fix
	} else if i := strings.LastIndex(text, ": "); i >= 0 {
		text, fix = text[:i], text[i+2:]
	}
	return &usageError{"--" + flag + ": " + text, fix}
}

// flagWords is a flag's error with what its value should have been in place of what the
// language's own reader of numbers and times says.
func flagWords(err error) string {
	text := err.Error()
	if number, ok := errors.AsType[*strconv.NumError](err); ok {
		want := "no number"
		switch {
		case errors.Is(err, strconv.ErrRange):
			want = "too large a number"
		case number.Func == "ParseInt" || number.Func == "Atoi":
			want = "no whole number"
		case number.Func == "ParseBool":
			want = "neither true nor false"
		}
		return strings.TrimSuffix(text, number.Error()) + "that is " + want
	}
	if before, _, ok := strings.Cut(text, " flag: time: "); ok {
		return before + " flag: that is no length of time such as 15m or 2h"
	}
	return text
}

// checkBoat refuses a kind, length or bow that make no boat, by the flag that is
// to be mended.
func checkBoat(kind string, lengthM float64, bow string) error {
	if _, err := boat.Preset(kind, lengthM); err != nil {
		if slices.Contains(boat.Kinds(), kind) {
			text, _, _ := strings.Cut(err.Error(), ": ")
			return &usageError{"--length: " + text, fmt.Sprintf("give %d to %d m, or a job without a kind that lists its zones", boat.MinLengthM, boat.MaxLengthM)}
		}
		return wrongFlag("kind", err)
	}
	if _, _, _, err := job.ParseBow(bow); err != nil {
		return wrongFlag("bow", err)
	}
	return nil
}

// ofFlag says of which flag an unknown product is the value.
func ofFlag(flag string, err error) error {
	if u, ok := errors.AsType[*usageError](err); ok {
		return &usageError{"--" + flag + ": " + u.text, u.fix}
	}
	return err
}

// nearProducts are the products that were probably meant by a misspelt id: the
// nearest, else all whose id begins with a word like it.
func nearProducts(id string, set *products.Set) []string {
	if near, ok := set.Nearest(id); ok {
		return []string{near}
	}
	var heads []string
	for _, x := range set.IDs() {
		head, _, _ := strings.Cut(x, "-")
		heads = append(heads, head)
	}
	var out []string
	for i, head := range heads {
		if near := job.Nearest(id, heads); near != "" && head == near {
			out = append(out, set.IDs()[i])
		}
	}
	return out
}
