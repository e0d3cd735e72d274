package pages

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

//go:embed templates/*.html
var templateFiles embed.FS

// view is one page before it is drawn, or a redirect in place of one.
type view struct {
	template string // name of its file without .html
	layout   string // template that is drawn, "" is the whole page
	status   int    // 0 is 200
	to       string // redirect with 303 there, "" for none
	cookie   *http.Cookie
	passing  bool // it tells of what may be over at the next look: nobody is to keep it

	// What the layout shows.
	Title   string
	Tab     string // which of the job's pages it is
	Boat    *Boat  // nil on pages that are of no job
	Notice  string // what has just been done
	Body    any
	Theme   string
	Path    string // of the request, for forms that come back to it
	User    string
	SignIn  bool // there is signing in, so that there is signing out
	Token   string
	Version string
	Now     time.Time
	Plain   bool // without navigation: a sheet to print
}

// seeOther redirects after a post.
func seeOther(to string) *view { return &view{to: to} }

// show makes a handler of a page.
func (p *Pages) show(h func(*http.Request) (*view, error)) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, largestForm)
		v, err := h(r)
		if err != nil {
			v = p.wrong(r, err)
		}
		if v.cookie != nil {
			http.SetCookie(w, v.cookie)
		}
		if v.to != "" {
			http.Redirect(w, r, v.to, http.StatusSeeOther)
			return
		}
		p.draw(w, r, v)
	})
}

// largestForm is the most that a form may bring, in bytes. A job file may be 1 MB.
const largestForm = 2 << 20

// draw writes a page. It is made whole before the first byte goes out, so that no
// page breaks off half way.
func (p *Pages) draw(w http.ResponseWriter, r *http.Request, v *view) {
	v.Theme, v.Path, v.Version, v.Now = themeOf(r), r.URL.RequestURI(), p.cfg.Version, p.cfg.Clock()
	if r.Method != http.MethodGet {
		v.Path = p.pathOf(r)
	}
	if p.cfg.User != nil {
		v.User, v.SignIn = p.cfg.User(r), true
	}
	if p.cfg.Token != nil {
		v.Token = p.cfg.Token(r)
	}
	var b bytes.Buffer
	if v.layout == "" {
		v.layout = "layout"
	}
	if err := p.templates[v.template].ExecuteTemplate(&b, v.layout, v); err != nil {
		p.fault(r, fmt.Errorf("drawing %s: %w", v.template, err))
		http.Error(w, "This page could not be drawn. Go back and try again.", http.StatusInternalServerError)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-cache")
	if v.passing {
		h.Set("Cache-Control", "no-store")
	}
	h.Add("Vary", "Cookie")
	if v.status != 0 {
		w.WriteHeader(v.status)
	}
	// A form may bring back bytes that are no text.
	if _, err := w.Write(bytes.ToValidUTF8(b.Bytes(), []byte("\uFFFD"))); err != nil {
		return // the reader has gone away
	}
}

// pathOf is the page of a form's address, the first page where that has none.
func (p *Pages) pathOf(r *http.Request) string {
	get := &http.Request{Method: http.MethodGet, URL: r.URL, Host: r.Host}
	if _, pattern := p.mux.Handler(get); pattern == "/" {
		return "/"
	}
	return r.URL.Path
}

func (p *Pages) fault(r *http.Request, err error) {
	if p.cfg.Fault != nil {
		p.cfg.Fault(r, err)
	}
}

// parse reads every template: the shared ones and, each for itself, the pages.
func (p *Pages) parse() (map[string]*template.Template, error) {
	files, err := fs.Glob(templateFiles, "templates/*.html")
	if err != nil {
		return nil, err
	}
	shared := template.New("").Funcs(p.funcs())
	out := map[string]*template.Template{}
	for _, f := range files {
		if strings.HasPrefix(path.Base(f), "_") {
			if _, err := shared.ParseFS(templateFiles, f); err != nil {
				return nil, err
			}
		}
	}
	for _, f := range files {
		name := strings.TrimSuffix(path.Base(f), ".html")
		if strings.HasPrefix(name, "_") {
			continue
		}
		t, err := shared.Clone()
		if err != nil {
			return nil, err
		}
		if out[name], err = t.ParseFS(templateFiles, f); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// funcs are the words that templates may use.
func (p *Pages) funcs() template.FuncMap {
	v := p.voice
	return template.FuncMap{
		"asset": p.assets.path, "prose": func(s string) string { return together(v.prose(s)) }, "sentence": func(s string) string { return together(v.sentence(s)) },
		"because": func(b answer.Binding) string { return together(v.because(b)) }, "together": together,
		"temperature": v.temperature, "spread": v.spread, "extent": v.extent, "bare": v.bare, "quantity": v.quantity,
		"unit": v.unit, "area": func(x *float64) string { return v.quantity(x, 1, "m²") },
		"day": day, "longDay": longDay, "clock": clock, "isoDay": isoDay, "isoTime": isoTime,
		"dateField": dateField, "hours": hours, "hyphened": hyphened, "unbroken": unbroken, "when": when, "lasting": lasting, "age": age, "sure": sure, "source": source,
		"names": answer.Listed, "crew": answer.Persons, "capital": answer.Capital, "stopped": stopped, "stateOf": stateOf, "fates": fateState,
		"limit": v.limit, "keepDry": answer.KeepDryLines, "lasts": answer.LastsLines,
		"care": func(list []answer.Care, now time.Time) []string { return answer.CareLines(list, false, now) }, "crewLines": answer.CrewLines, "nextAway": answer.NextAway,
		"dict": dict, "list": func(x ...any) []any { return x },
		"rain": func(now, at time.Time) string { return answer.RainWords(now, at, when) }, "product": productName, "cautions": v.cautions,
		"cut": func(s, before string) string {
			if rest, ok := strings.CutPrefix(s, before); ok && before != "" {
				return strings.TrimSpace(rest)
			}
			return ""
		},
		"brief": brief, "ref": zoneRef, "stints": answer.Stints, "sameTime": sameTime,
		"yes": yesOf, "way": wayWord, "reason": v.reason, "dos": func() []string { return dos }, "band": v.band, "unitWord": v.unitWord,
		"productNames": func(ids []string) []string {
			out := make([]string, len(ids))
			for i, id := range ids {
				out[i] = productName(id)
			}
			return out
		},
	}
}

// dict makes a map of names and values, for templates that need several.
func dict(pairs ...any) (map[string]any, error) {
	if len(pairs)%2 != 0 {
		return nil, fmt.Errorf("dict wants pairs, not %d values", len(pairs))
	}
	m := map[string]any{}
	for i := 0; i < len(pairs); i += 2 {
		k, ok := pairs[i].(string)
		if !ok {
			return nil, fmt.Errorf("dict wants names, not %v", pairs[i])
		}
		m[k] = pairs[i+1]
	}
	return m, nil
}

// look is how a state is shown: class and shape, and the word.
type look struct{ Class, Word string }

// stateOf is the look of a state by its name; one that is not known is shown as
// unknown with its own word.
func stateOf(name string) look {
	switch name {
	case "ideal", "go", "marginal", "no-go", "unknown", "wait":
		return look{name, name}
	case answer.None:
		return look{"no-go", "no plan"}
	}
	return look{"unknown", name}
}

// fateState is the look of what became of work under rain, or of a block.
func fateState(fate string) look {
	switch fate {
	case "good", "kept":
		return look{"go", fate}
	case "inspect", "moved":
		return look{"marginal", fate}
	case "rewash", "added":
		return look{"wait", map[string]string{"rewash": "rewash", "added": "new"}[fate]}
	case answer.Unknown:
		return look{"unknown", "stands"}
	case "redo", "none":
		return look{"no-go", map[string]string{"redo": "redo", "none": "no place"}[fate]}
	}
	return look{"unknown", fate}
}

// productName is a product's id as words.
func productName(id string) string { return strings.ReplaceAll(id, "-", " ") }

// wayWord is a way to get on in words.
func wayWord(way string) string {
	if w, ok := map[string]string{
		"sheltered_zone": "under a roof", "wet_step": "wet work", "shorter_clock": "shorter clock", "sheet": "sheet or canvas",
		"turn": "turn the boat", "next_window": "next window", "wash_first": "wash first", "rest": "all else", "hands": "all hands",
		"helper": "a helper",
	}[way]; ok {
		return w
	}
	return way
}

// yesOf is what is said of the blocks of a plan that take a yes: whether it is still to be
// given, or the job gives it, as Accepted tells.
func yesOf(accepted bool) string {
	if accepted {
		return "With your yes"
	}
	return "Needs your yes"
}

// unitWord is a unit as the page shows it.
func (v voice) unitWord(si string) string {
	switch si {
	case "°C", "K", "m/s", "mm", "m²":
		return v.unit(si)
	}
	return si
}

// band is a band of a product in the page's units: "10–32", "≤ 85".
func (v voice) band(b *answer.ProductBand, unit string) string {
	at := func(x *float64) string {
		s := strconv.FormatFloat(*x, 'f', -1, 64)
		switch unit {
		case "°C", "K", "m/s", "mm", "m²":
			s, _, _ = strings.Cut(v.prose(s+" "+unit), " ")
		}
		return s
	}
	switch {
	case b == nil || b.Least == nil && b.Most == nil:
		return "any"
	case b.Least == nil:
		return "≤" + nbsp + at(b.Most)
	case b.Most == nil:
		return "≥" + nbsp + at(b.Least)
	case *b.Least == *b.Most:
		return at(b.Least)
	}
	if *b.Least < 0 {
		return tied(at(b.Least) + " to " + at(b.Most))
	}
	return at(b.Least) + dash + at(b.Most)
}

// reason is why a block lies where it lies; the zone stands beside it already.
func (v voice) reason(b answer.PlanBlock) string {
	return together(v.sentence(strings.Replace(b.Reason, " of the "+b.Zone, "", 1)))
}

// brief keeps a name that people wrote to a length that a page can show many times.
func brief(name string) string {
	const most = 80
	if r := []rune(name); len(r) > most {
		return strings.TrimRight(string(r[:most]), " \u200d\ufe0f") + "…" // a joiner would join the ellipsis
	}
	return name
}

// longestRef is the longest name, in bytes, that stands in an address as it is.
const longestRef = 120

// zoneRef is a zone in an address: its name, or what it hashes to where that is long.
func zoneRef(name string) string {
	if len(name) <= longestRef {
		return name
	}
	sum := sha256.Sum256([]byte(name))
	return "#" + hex.EncodeToString(sum[:8])
}

// zoneOf is the name of the zone that an address means, as it stands if none is meant.
func zoneOf(ref string, zones []answer.Zone) string {
	for _, z := range zones {
		if zoneRef(z.Name) == ref {
			return z.Name
		}
	}
	return ref
}
