package answer

import (
	"dewgap/products"
	"dewgap/window/job"
)

// Formats of the lists.
const (
	ProductsFormat = "dewgap.products.v1"
	CheckFormat    = "dewgap.check.v1"
	WhereFormat    = "dewgap.where.v1"
	VersionFormat  = "dewgap.version.v1"
)

// Products is the answer of dewgap products.
type Products struct {
	Format   string    `json:"format"`
	Products []Product `json:"products"`
	Warnings []string  `json:"warnings"`
}

// Product is one product class with everything that it demands.
type Product struct {
	ID       string        `json:"id"`
	Name     string        `json:"name"`
	Like     string        `json:"like"` // the class that a person's own product departs from
	Own      bool          `json:"own"`
	Do       string        `json:"do"`
	Machine  bool          `json:"machine"`
	Water    string        `json:"water"`
	People   int           `json:"people"`
	CoolSun  bool          `json:"cool_sun"`
	Limits   []ProductLine `json:"limits"`
	Allowed  []string      `json:"allowed"` // finishes
	Never    []string      `json:"never"`
	Cautions []string      `json:"cautions"`
	Notes    string        `json:"notes"`
	Warnings []string      `json:"warnings"`
}

// ProductLine is one bound of a class with where it comes from. Lines without
// grades have a default only.
type ProductLine struct {
	Key     string       `json:"key"`
	Label   string       `json:"label"`
	Unit    string       `json:"unit"`
	Ideal   *ProductBand `json:"ideal"`
	Default *ProductBand `json:"default"`
	Hard    *ProductBand `json:"hard"`
	Source  string       `json:"source"`
}

// ProductBand is a least and a most; null where it is open.
type ProductBand struct {
	Least *float64 `json:"least"`
	Most  *float64 `json:"most"`
}

// NewProducts makes the answer of dewgap products.
func NewProducts(list []products.Class, warnings []string) *Products {
	out := &Products{Format: ProductsFormat, Products: []Product{}, Warnings: full(warnings)}
	for _, c := range list {
		p := Product{
			ID: c.ID, Name: c.Name, Like: c.Like, Own: c.Own, Do: c.Do, Machine: c.Machine, Water: c.Water.String(),
			People: c.People, CoolSun: c.CoolSun, Allowed: full(c.Allowed), Never: full(c.Never),
			Cautions: full(c.Cautions), Notes: c.Notes, Warnings: full(c.Warnings), Limits: []ProductLine{},
		}
		for _, l := range c.Explain() {
			line := ProductLine{Key: l.Key, Label: l.Label, Unit: l.Unit, Default: bandOf(l.Default), Source: l.Source}
			if l.Graded {
				line.Ideal, line.Hard = bandOf(l.Ideal), bandOf(l.Hard)
			}
			p.Limits = append(p.Limits, line)
		}
		out.Products = append(out.Products, p)
	}
	return out
}

func bandOf(b products.Band) *ProductBand {
	if !b.HasMin && !b.HasMax {
		return nil
	}
	out := &ProductBand{}
	if b.HasMin {
		out.Least = some(b.Min, cent)
	}
	if b.HasMax {
		out.Most = some(b.Max, cent)
	}
	return out
}

// full is a list that JSON writes as [] when it is empty.
func full(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// Check is the answer of dewgap check on a file without mistakes.
type Check struct {
	Format   string      `json:"format"`
	Job      string      `json:"job"`
	Boat     string      `json:"boat"`
	Zones    []CheckZone `json:"zones"`
	Steps    []CheckStep `json:"steps"`
	Warnings []string    `json:"warnings"`
}

// CheckZone is one zone as it was understood.
type CheckZone struct {
	Name   string   `json:"name"`
	Finish string   `json:"finish"`
	AreaM2 *float64 `json:"area_m2"`
}

// CheckStep is one step as it was understood.
type CheckStep struct {
	Step    string   `json:"step"`
	Do      string   `json:"do"`
	Product string   `json:"product"`
	Zones   []string `json:"zones"`
}

// NewCheck makes the answer of dewgap check.
func NewCheck(j *job.Job) *Check {
	out := &Check{
		Format: CheckFormat, Job: j.Name, Boat: j.Boat, Zones: []CheckZone{}, Steps: []CheckStep{},
		Warnings: full(j.Warnings),
	}
	for _, z := range j.Zones {
		zone := CheckZone{Name: z.Name, Finish: z.Finish.Name}
		if z.AreaM2 > 0 {
			zone.AreaM2 = some(z.AreaM2, tenth)
		}
		out.Zones = append(out.Zones, zone)
	}
	for _, s := range j.Steps {
		step := CheckStep{Step: s.Name, Do: s.Do, Product: s.With, Zones: []string{}}
		for _, z := range s.On {
			step.Zones = append(step.Zones, j.Zones[z].Name)
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// Where is the answer of dewgap where.
type Where struct {
	Format string `json:"format"`
	Kept   []Kept `json:"kept"`
}

// Kept is something that dewgap reads or keeps on this computer.
type Kept struct {
	What   string `json:"what"`
	Path   string `json:"path"`
	Exists bool   `json:"exists"`
	Set    string `json:"set"` // what to set to have it elsewhere
}

// Version is the answer of dewgap version.
type Version struct {
	Format    string `json:"format"`
	Version   string `json:"version"` // of the program
	Go        string `json:"go"`
	System    string `json:"system"`    // operating system/architecture
	Catalogue string `json:"catalogue"` // hash of the product catalogue, hexadecimal
}
