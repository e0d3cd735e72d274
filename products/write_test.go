package products

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The tests of this file write a product with random values in random layout,
// read it and compare: the writer here knows nothing of the reader.

// written is a limit as a test writes it, and what must be read.
type written struct {
	key  string
	text string
	want Limit
}

// tenth draws a number with one decimal from low to high.
func tenth(t *rapid.T, label string, low, high int) float64 {
	return float64(rapid.IntRange(low*10, high*10).Draw(t, label)) / 10
}

// drawPair draws three nested bands and writes them.
func drawPair(t *rapid.T, key string, low, high int) written {
	var x [6]float64
	x[0] = tenth(t, key+" hard min", low, high)
	x[5] = x[0] + tenth(t, key+" span", 0, (high-low)/4)
	x[1] = x[0] + (x[5]-x[0])/4
	x[4] = x[5] - (x[5]-x[0])/4
	x[2], x[3] = x[1]+(x[4]-x[1])/4, x[4]-(x[4]-x[1])/4
	l := Limit{Given: true, Ideal: between(x[2], x[3]), Default: between(x[1], x[4]), Hard: between(x[0], x[5])}
	text := func(b Band) string { return fmt.Sprintf("[%v, %v]", b.Min, b.Max) }
	return written{key, threeBands(t, key, text(l.Ideal), text(l.Default), text(l.Hard)), l}
}

// drawOne draws three nested bounds of a one-sided limit and writes them.
func drawOne(t *rapid.T, key string, high int, isLeast bool) written {
	a := tenth(t, key+" ideal", 0, high/3)
	b := a + tenth(t, key+" default", 0, high/3)
	c := b + tenth(t, key+" hard", 0, high/3)
	band := atMost
	if isLeast {
		band = atLeast
		a, c = c, a
	}
	l := Limit{Given: true, Ideal: band(a), Default: band(b), Hard: band(c)}
	text := func(x float64) string { return fmt.Sprint(x) }
	return written{key, threeBands(t, key, text(a), text(b), text(c)), l}
}

// threeBands writes the bands in one of the orders and layouts that YAML knows.
func threeBands(t *rapid.T, key, ideal, normal, hard string) string {
	parts := []string{"ideal: " + ideal, "default: " + normal, "hard: " + hard, "source: tin"}
	parts = rapid.Permutation(parts).Draw(t, key+" order")
	if rapid.Bool().Draw(t, key+" block") {
		return "\n        " + strings.Join(parts, "\n        ")
	}
	return " {" + strings.Join(parts, ", ") + "}"
}

func drawLimits(t *rapid.T) []written {
	return []written{
		drawPair(t, "air_c", -30, 40), drawPair(t, "surface_c", -30, 60), drawPair(t, "humidity_pct", 0, 80),
		drawOne(t, "spread_k", 30, true), drawOne(t, "wind_m_s", 30, false), drawOne(t, "gust_m_s", 30, false),
		drawOne(t, "sunlight_w_m2", 1200, false), drawOne(t, "uv_index", 15, false),
	}
}

func drawClocks(t *rapid.T) []written {
	return []written{
		drawOne(t, "dry_off", 90, true), drawOne(t, "rain_free", 90, true), drawOne(t, "dew_free", 90, true),
	}
}

// section writes some of the limits under their key.
func section(t *rapid.T, key string, list []written) (text string, kept []written) {
	var b strings.Builder
	for _, w := range rapid.Permutation(list).Draw(t, key+" order") {
		if rapid.IntRange(0, 3).Draw(t, w.key+" left out") == 0 {
			continue
		}
		fmt.Fprintf(&b, "      %s:%s\n", w.key, w.text)
		kept = append(kept, w)
	}
	if len(kept) == 0 {
		return "", nil
	}
	return "    " + key + ":\n" + b.String(), kept
}

// TestWrittenAndRead: what is written is what is read, whatever the order, the
// layout and the class beneath.
func TestWrittenAndRead(t *testing.T) {
	s := catalogueOf(t)
	rapid.Check(t, func(t *rapid.T) {
		like := rapid.SampledFrom(theClasses).Draw(t, "like")
		limits, some := section(t, "limits", drawLimits(t))
		clocks, hours := section(t, "clocks_h", drawClocks(t))
		text := "products:\n  - id: mine\n    like: " + like + "\n" + limits + clocks
		out, _, err := s.With("own.yaml", []byte(text))
		require.NoError(t, err, "%s", text)
		c, ok := out.Class("mine")
		require.True(t, ok)
		base, _ := s.Class(like)
		loose := 0
		for _, w := range append(some, hours...) {
			got := read(&c, w.key)
			assertLimit(t, w, got)
			if !got.Hard.Within(read(&base, w.key).Hard) {
				assert.True(t, got.Loosened, "%s", w.key)
				loose++
			} else {
				assert.False(t, got.Loosened, "%s", w.key)
			}
		}
		assert.GreaterOrEqual(t, len(c.Warnings), loose, "a warning for each limit that was loosened")
		assert.Equal(t, loose == 0, len(c.Warnings) == 0)
	})
}

// read is a limit or a clock of a class by its key.
func read(c *Class, key string) Limit {
	for _, s := range limitSpecs() {
		if s.key == key {
			return *s.field(c)
		}
	}
	for _, s := range clockSpecs() {
		if s.key == key {
			return s.clock(c).limit()
		}
	}
	panic("no limit " + key)
}

// assertLimit compares bands to a millionth, for the writer prints decimals.
func assertLimit(t *rapid.T, w written, got Limit) {
	assert.True(t, got.Given, w.key)
	assert.Equal(t, "tin", got.Source, w.key)
	bands := [][2]Band{{w.want.Ideal, got.Ideal}, {w.want.Default, got.Default}, {w.want.Hard, got.Hard}}
	for _, b := range bands {
		assert.Equal(t, b[0].HasMin, b[1].HasMin, w.key)
		assert.Equal(t, b[0].HasMax, b[1].HasMax, w.key)
		assert.InDelta(t, b[0].Min, b[1].Min, 1e-6, w.key)
		assert.InDelta(t, b[0].Max, b[1].Max, 1e-6, w.key)
	}
}

// TestFahrenheitAndCelsius: the same label in either unit gives the same class.
func TestFahrenheitAndCelsius(t *testing.T) {
	s := catalogueOf(t)
	rapid.Check(t, func(t *rapid.T) {
		low := tenth(t, "low", -20, 30)
		high := low + tenth(t, "width", 0, 20)
		gap := tenth(t, "spread", 0, 20)
		c := fmt.Sprintf("limits: {air_c: [%v, %v], surface_c: {hard: [%v, %v]}, spread_k: %v}", low, high, low, high, gap)
		f := fmt.Sprintf("limits: {air_f: [%v, %v], surface_f: {hard: [%v, %v]}, spread_f: %v}",
			low*9/5+32, high*9/5+32, low*9/5+32, high*9/5+32, gap*9/5)
		a, _, err := s.With("c.yaml", []byte(product(c)))
		require.NoError(t, err)
		b, _, err := s.With("f.yaml", []byte(product(f)))
		require.NoError(t, err)
		x, _ := a.Class("x")
		y, _ := b.Class("x")
		for _, key := range []string{"air_c", "surface_c", "spread_k"} {
			l, m := read(&x, key), read(&y, key)
			for i, p := range []Band{l.Ideal, l.Default, l.Hard} {
				q := []Band{m.Ideal, m.Default, m.Hard}[i]
				assert.InDelta(t, p.Min, q.Min, 1e-9)
				assert.InDelta(t, p.Max, q.Max, 1e-9)
			}
		}
	})
}
