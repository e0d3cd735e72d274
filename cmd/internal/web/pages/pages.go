// Package pages draws dewgap in a browser: the week, a day, the morning check, the
// job, the move after rain, the log. It renders answers and reads forms; all that it
// knows it has from a [Desk].
//
// The pages are plain HTML from the embedded templates, with one style sheet and one
// script of our own, and no request leaves the host. Everything works without the
// script, by links, forms and a redirect after each post (303). The script makes it
// quicker: it sends forms in place, checks a job while it is typed, chooses the hour
// of a picture, and registers the service worker, which keeps the last answers for a
// dock without reception.
//
// Nothing is inline: no script, no style, so that a strict Content-Security-Policy
// holds. What people wrote is escaped by html/template and set apart with bdi; no
// text of theirs becomes markup, an address or a class.
//
// A state is always a shape and a word; colour comes on top. Three looks: bright
// (black on white, for the sun), night (dim and warm), and whichever of the two the
// system asks for.
package pages

import (
	"errors"
	"html/template"
	"net/http"
	"time"

	"dewgap/cmd/internal/text"
)

// Config is what the pages are made with. Desk and Clock must be given.
type Config struct {
	Desk    Desk
	Clock   func() time.Time
	Version string // of the program: shown, and part of the offline copies' name
	Units   string // "metric" or "us"; "" is metric
	Wind    string // "m/s", "mph" or "kn"; "" goes with Units

	// LinkPage is where a person who has signed in makes and ends the calendar link, for
	// a calendar program cannot sign in; "" where calendars are open to all who reach us.
	LinkPage string
	// Settings are shown on the page of that name, read only.
	Settings func(r *http.Request) []Setting
	// User names who is signed in, "" for nobody; nil where there is no signing in.
	User func(r *http.Request) string
	// Token is a secret of the session that every form carries in the field "token";
	// nil: none. The server checks it, not the pages.
	Token func(r *http.Request) string
	// Fault is told every error that is shown to a person as a fault; nil is nobody.
	Fault func(r *http.Request, err error)
}

// Setting is one line of the settings page.
type Setting struct {
	Name    string // as in the settings file
	Value   string // never a secret; "" where nothing is set
	Meaning string
	Env     string // environment variable
}

// Pages serves the pages. It is an http.Handler.
type Pages struct {
	cfg       Config
	voice     voice
	templates map[string]*template.Template
	assets    *assets
	mux       *http.ServeMux
}

// New makes the pages ready to serve. The error is a Config without what it must
// have, or a mistake in a template.
func New(cfg Config) (*Pages, error) {
	if cfg.Desk == nil || cfg.Clock == nil {
		return nil, errors.New("pages need a desk and a clock")
	}
	p := &Pages{cfg: cfg, voice: voice{text.Options{Units: cfg.Units, Wind: cfg.Wind}}, mux: http.NewServeMux()}
	var err error
	if p.assets, err = newAssets(cfg.Version); err != nil {
		return nil, err
	}
	if p.templates, err = p.parse(); err != nil {
		return nil, err
	}
	p.routes()
	return p, nil
}

func (p *Pages) routes() {
	get := func(path string, h func(*http.Request) (*view, error)) { p.mux.Handle("GET "+path, p.show(h)) }
	post := func(path string, h func(*http.Request) (*view, error)) { p.mux.Handle("POST "+path, p.show(h)) }
	get("/{$}", p.home)
	get("/week/{job}", p.week)
	post("/plan/{job}", p.planAnew)
	get("/day/{job}/{date}", p.day)
	get("/day/{job}/{date}/sheet", p.sheet)
	get("/why/{job}", p.why)
	get("/morning/{job}", p.morning)
	post("/morning/{job}", p.takeReadings)
	get("/job/{job}", p.job)
	post("/job/{job}", p.editJob)
	post("/job/{job}/check", p.checkJob)
	get("/job/{job}/products/{product}", p.product)
	get("/move/{job}", p.move)
	post("/move/{job}", p.askMove)
	get("/log/{job}", p.log)
	post("/log/{job}", p.takeLog)
	get("/places", p.places)
	get("/settings", p.settings)
	get("/offline", p.offline)
	post("/theme", p.theme)
	p.mux.Handle("GET /assets/", p.assets)
	p.mux.HandleFunc("GET /sw.js", p.assets.worker)
	p.mux.HandleFunc("GET /manifest.webmanifest", p.assets.manifest)
	p.mux.HandleFunc("GET /favicon.ico", p.assets.favicon)
	p.mux.Handle("/", p.show(func(r *http.Request) (*view, error) {
		return nil, &trouble{status: http.StatusNotFound, title: "There is no such page",
			text: "Nothing lies at this address.", fix: "Go to the boats and take it from there."}
	}))
}

// ServeHTTP serves one request.
func (p *Pages) ServeHTTP(w http.ResponseWriter, r *http.Request) { p.mux.ServeHTTP(w, r) }
