package answer

import (
	"slices"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
)

// Scene is what a picture needs beside the hours and the windows: how the boat
// lies, whence the wind comes, and what the products demand of a panel. It is of
// the answer's own moment, so that a stored answer draws the same picture later.
type Scene struct {
	Kind    string       `json:"kind"`     // preset of the boat, "" for none
	LengthM *float64     `json:"length_m"` // null where not known
	Berths  []Berth      `json:"berths"`   // in order of time; empty where nobody knows the bow
	Wind    []WindFrom   `json:"wind"`     // hour by hour, as the zones' hours
	Classes []ClassBands `json:"classes"`  // in the order in which the job first uses them
}

// Berth is how the boat lies from a moment on.
type Berth struct {
	From   *time.Time `json:"since"` // null: from the beginning
	BowDeg float64    `json:"bow_deg"`
}

// WindFrom is the true bearing from which the wind comes in the hour from At: the
// first member's, for bearings have no median.
type WindFrom struct {
	At      time.Time `json:"at"`
	FromDeg *float64  `json:"from_deg"`
}

// ClassBands are the bands that a picture puts behind its curves, of one product
// on some zones: on paint a class may ask for another temperature than on gelcoat.
type ClassBands struct {
	Product    string   `json:"product"`
	Name       string   `json:"name"` // in words
	Zones      []string `json:"zones"`
	SurfaceC   *Bands   `json:"surface_c"`
	SpreadK    *Bands   `json:"spread_k"`
	FullCureH  *float64 `json:"full_cure_h"`  // the least, in hours as at 20 °C
	HalvesPerK *float64 `json:"halves_per_k"` // working times halve per so many kelvin
}

// Bands are the three ranges of a limit, each from least to most; null is open.
type Bands struct {
	Ideal   [2]*float64 `json:"ideal"`
	Default [2]*float64 `json:"default"`
	Hard    [2]*float64 `json:"hard"`
}

func (b *builder) scene() *Scene {
	s := &Scene{Kind: b.Job.Kind, Berths: []Berth{}, Wind: make([]WindFrom, len(b.Result.Weather)), Classes: b.classBands()}
	if b.Job.LengthM > 0 {
		s.LengthM = some(b.Job.LengthM, cent)
	}
	if b.Job.HasBow {
		for i, x := range b.Job.Berths {
			berth := Berth{BowDeg: round(x.Bow, tenth)}
			if i > 0 {
				t := b.moment(x.From)
				berth.From = &t
			}
			s.Berths = append(s.Berths, berth)
		}
	}
	for h, w := range b.Result.Weather {
		s.Wind[h] = WindFrom{At: w.At.In(b.loc), FromDeg: b.windFrom(w.At)}
	}
	return s
}

// windFrom is the bearing of the wind at t, nil where the forecast has none.
func (b *builder) windFrom(t time.Time) *float64 {
	i, ok := b.Forecast.Index(t)
	if !ok || len(b.Forecast.Members) == 0 {
		return nil
	}
	v, ok := b.Forecast.Members[0].Columns[forecast.WindFrom].At(i)
	if !ok {
		return nil
	}
	return some(v, 1)
}

// classBands lists the products of the rows, one entry for the zones on which
// they ask the same.
func (b *builder) classBands() []ClassBands {
	out := []ClassBands{}
	var limits []products.Limit
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		k := slices.IndexFunc(out, func(c ClassBands) bool { return c.Product == r.Class.ID })
		for k >= 0 && k < len(out) && (out[k].Product != r.Class.ID || limits[k] != r.Class.SurfaceC) {
			k++
		}
		if k < 0 || k == len(out) {
			out, limits = append(out, bandsOf(r)), append(limits, r.Class.SurfaceC)
			k = len(out) - 1
		}
		if z := b.zone(r); !slices.Contains(out[k].Zones, z) {
			out[k].Zones = append(out[k].Zones, z)
		}
	}
	return out
}

func bandsOf(r *window.Row) ClassBands {
	c := ClassBands{
		Product: r.Class.ID, Name: r.Class.Name, Zones: []string{},
		SurfaceC: threeBands(r.Class.SurfaceC), SpreadK: threeBands(r.Class.SpreadK),
	}
	if r.Class.FullCureH.Given {
		c.FullCureH = some(r.Class.FullCureH.Min, cent)
	}
	if r.Class.HalvesPerK > 0 {
		c.HalvesPerK = some(r.Class.HalvesPerK, cent)
	}
	return c
}

func threeBands(l products.Limit) *Bands {
	if !l.Given {
		return nil
	}
	return &Bands{Ideal: ends(l.Ideal), Default: ends(l.Default), Hard: ends(l.Hard)}
}

func ends(b products.Band) [2]*float64 {
	var out [2]*float64
	if b.HasMin {
		out[0] = some(b.Min, cent)
	}
	if b.HasMax {
		out[1] = some(b.Max, cent)
	}
	return out
}
