package cli

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"reflect"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/web"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/pages"
	"dewgap/window/job"
)

// servePages draws the pages of a desk.
func servePages(env Env, s *settings.Settings, d *desk.Desk, o serveOptions, signIn bool, log *slog.Logger) (http.Handler, error) {
	cfg := pages.Config{
		Desk: pageDesk{d, !signIn}, Clock: d.Now, Version: env.Version, Units: s.Units,
		Settings: func(*http.Request) []pages.Setting { return settingLines(s) },
		Fault:    func(_ *http.Request, err error) { log.Error("fault on a page", "error", err) },
	}
	if o.units != "" {
		cfg.Units = o.units
	}
	if signIn {
		cfg.LinkPage = "/calendar-link"
		cfg.User = func(*http.Request) string { return "signed in" } // who sees a page is
	}
	p, err := pages.New(cfg)
	if err != nil {
		return nil, fmt.Errorf("drawing the pages: %w", err)
	}
	return p, nil
}

// settingLines are the settings as a page shows them: without secrets, and of the
// webhook's address, which may hold one, the host only.
func settingLines(s *settings.Settings) []pages.Setting {
	values := map[string]string{}
	valuesOf(values, "", reflect.ValueOf(*s))
	if u, err := url.Parse(s.Webhook.URL); err == nil && u.Host != "" {
		values["webhook.url"] = u.Scheme + "://" + u.Host + "/…"
	}
	var out []pages.Setting
	for _, k := range settings.Keys() {
		out = append(out, pages.Setting{Name: k.Name, Value: values[k.Name], Meaning: k.Meaning, Env: k.Env})
	}
	return out
}

// valuesOf writes the values of settings down by their names; secrets print as dots.
func valuesOf(values map[string]string, prefix string, v reflect.Value) {
	for i := range v.NumField() {
		name := v.Type().Field(i).Tag.Get("mapstructure")
		f := v.Field(i)
		switch {
		case name == "" || name == "-":
		case f.Kind() == reflect.Struct:
			valuesOf(values, prefix+name+".", f)
		case f.Kind() == reflect.Slice:
			var parts []string
			for n := range f.Len() {
				parts = append(parts, fmt.Sprint(f.Index(n).Interface()))
			}
			values[prefix+name] = strings.Join(parts, ", ")
		case f.Type() == reflect.TypeFor[time.Duration]():
			values[prefix+name] = asWritten(f.Interface().(time.Duration))
		default:
			values[prefix+name] = fmt.Sprint(f.Interface())
		}
	}
}

// asWritten is a span of time as people write it into the settings: 12h, not 12h0m0s.
func asWritten(d time.Duration) string {
	s := d.String()
	for _, unit := range []string{"m0s", "h0m"} {
		if strings.HasSuffix(s, unit) {
			s = s[:len(s)-2]
		}
	}
	return s
}

// pageDesk is a desk as the pages know one.
type pageDesk struct {
	*desk.Desk
	open bool // no sign-in: calendars need no link of their own
}

var _ pages.Desk = pageDesk{}

// Boats lists the jobs.
func (d pageDesk) Boats(context.Context) ([]pages.Boat, error) {
	var out []pages.Boat
	for _, j := range d.Jobs() {
		b := pages.Boat{ID: j.ID, Job: j.Job, Boat: j.Boat, Place: j.Place.Name}
		if j.Job == "" {
			b.Job, b.Boat = j.File, j.File // its page tells what is wrong with it
		}
		if d.open {
			b.Calendar = "/calendar/" + j.ID + ".ics"
		}
		out = append(out, b)
	}
	return out, nil
}

// seenBy is an answer of the desk for a page, which is not kept if the answer is
// about to be replaced.
func seenBy[T any](ctx context.Context, s *desk.Snapshot[T], err error) (*T, error) {
	if err != nil {
		return nil, err
	}
	if s.Stale {
		web.Unsettled(ctx)
	}
	return s.Answer, nil
}

// Week answers a week ahead.
func (d pageDesk) Week(ctx context.Context, id string) (*answer.Week, error) {
	s, err := d.Desk.Week(ctx, id)
	return seenBy(ctx, s, err)
}

// Morning answers for now.
func (d pageDesk) Morning(ctx context.Context, id string) (*answer.Morning, error) {
	s, err := d.Desk.Morning(ctx, id)
	return seenBy(ctx, s, err)
}

// Why tells every limit.
func (d pageDesk) Why(ctx context.Context, id, zone, product string, at time.Time) (*answer.Why, error) {
	s, err := d.Desk.Why(ctx, id, zone, product, at)
	return seenBy(ctx, s, err)
}

// File is the job's text.
func (d pageDesk) File(_ context.Context, id string) (pages.File, error) {
	t, err := d.JobText(id)
	return pages.File{Name: t.Name, Text: t.Text, Tag: t.Tag}, err
}

// Check looks a text over.
func (d pageDesk) Check(_ context.Context, id string, text []byte) (*job.Job, error) {
	return d.CheckJob(id, text)
}

// Save keeps a text.
func (d pageDesk) Save(_ context.Context, id string, text []byte, tag string) error {
	_, err := d.SaveJob(id, text, tag)
	return err
}

// Products are the product classes.
func (d pageDesk) Products(context.Context) (*answer.Products, error) { return d.Desk.Products(), nil }

// AddReadings records readings.
func (d pageDesk) AddReadings(ctx context.Context, id string, list []job.Reading) error {
	_, err := d.Desk.AddReadings(ctx, id, list)
	return err
}

// LogDone records work.
func (d pageDesk) LogDone(ctx context.Context, id string, w pages.Work) error {
	_, err := d.Desk.LogDone(ctx, id, workOf(w))
	return err
}

// LogOutcome records what became of work.
func (d pageDesk) LogOutcome(ctx context.Context, id string, w pages.Work) error {
	_, err := d.Desk.LogOutcome(ctx, id, workOf(w))
	return err
}

func workOf(w pages.Work) desk.Work {
	return desk.Work{Step: w.Step, Zones: w.Zones, Share: w.Share, Coat: w.Coat, Found: w.Found, At: w.At, By: w.By, Note: w.Note}
}

// Move moves the plan.
func (d pageDesk) Move(ctx context.Context, id string, m pages.Rained) (*answer.Move, error) {
	var in desk.Moving
	if m.From != "" || m.To != "" {
		in.Rain = []desk.Rain{{From: m.From, To: m.To, MM: m.MM}}
	}
	for _, x := range m.Left {
		in.Left = append(in.Left, desk.Left{Step: x.Step, Zone: x.Zone, How: x.How, Share: x.Share, From: x.From, To: x.To})
	}
	return d.Desk.Move(ctx, id, in)
}
