package book

import "time"

// Boat is a boat as a job's file tells of it.
type Boat struct {
	Row
	Name    string   `json:"name"`
	Kind    string   `json:"kind,omitempty"`     // preset, "" for none
	LengthM *float64 `json:"length_m,omitempty"` // metres, nil if not said
}

func (*Boat) table() string { return "boats" }
func (*Boat) dated() bool   { return false }
func (*Boat) check() error  { return nil }

func (b *Boat) fields() []field {
	return []field{may("name", &b.Name), may("kind", &b.Kind), may("length_m", &b.LengthM)}
}

// Place is where a boat lies.
type Place struct {
	Row
	Name       string   `json:"name"`
	Latitude   float64  `json:"latitude"`              // degrees north, −90–90
	Longitude  float64  `json:"longitude"`             // degrees east, −180–180
	Timezone   string   `json:"timezone,omitempty"`    // IANA name, "" if the file leaves it to the service
	ElevationM *float64 `json:"elevation_m,omitempty"` // metres above the sea, nil if not said
}

func (*Place) table() string { return "places" }
func (*Place) dated() bool   { return false }

func (p *Place) fields() []field {
	return []field{
		may("name", &p.Name), may("latitude", &p.Latitude), may("longitude", &p.Longitude),
		may("timezone", &p.Timezone), may("elevation_m", &p.ElevationM),
	}
}

func (p *Place) check() error {
	if p.Latitude < -90 || p.Latitude > 90 || p.Longitude < -180 || p.Longitude > 180 {
		return invalid(p.table(), "%g, %g is nowhere on earth", p.Latitude, p.Longitude)
	}
	return nil
}

// Job is one text of a job's file. The texts that have one name, for one boat's
// name, are one job.
type Job struct {
	Row
	Name  string `json:"name"`
	Boat  Key    `json:"boat"`           // of a Boat
	Place Key    `json:"place"`          // of a Place
	File  string `json:"file,omitempty"` // the file's name, without its folder
	Body  Key    `json:"body"`           // the file's bytes
}

func (*Job) table() string { return "jobs" }
func (*Job) dated() bool   { return false }
func (*Job) check() error  { return nil }

func (j *Job) fields() []field {
	return []field{
		may("name", &j.Name), must("boat", ref{&j.Boat}), must("place", ref{&j.Place}),
		may("file", &j.File), must("body", ref{&j.Body}),
	}
}

// Forecast is a forecast that was used, as it was received. Equal bytes that were
// fetched twice are two forecasts with one body.
type Forecast struct {
	Row
	Service  string    `json:"service"`
	Model    string    `json:"model,omitempty"`
	Place    Key       `json:"place,omitempty"`   // of the Place that it was asked for
	Issued   time.Time `json:"issued,omitzero"`   // when the service made it; zero if it did not say
	Fetched  time.Time `json:"fetched,omitzero"`  // when it was received; zero for a saved reply
	Form     string    `json:"form,omitempty"`    // how the bytes are to be read; "": a service's own reply
	Warnings []string  `json:"warnings,omitzero"` // what was noticed in fetching it
	Body     Key       `json:"body"`
}

func (*Forecast) table() string { return "forecasts" }
func (*Forecast) dated() bool   { return false }
func (*Forecast) check() error  { return nil }

func (f *Forecast) fields() []field {
	return []field{
		must("service", &f.Service), may("model", &f.Model), may("place", ref{&f.Place}),
		may("issued", moment{&f.Issued}), may("fetched", moment{&f.Fetched}), may("form", &f.Form),
		may("warnings", list[[]string]{&f.Warnings}), must("body", ref{&f.Body}),
	}
}
