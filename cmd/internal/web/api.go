package web

import (
	"bytes"
	"context"
	"net/http"
	"reflect"
	"strconv"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
)

// api is the interface for programs: JSON as --json writes it, problems after RFC
// 9457, described at /api/openapi.json. No page of documentation comes with it: the
// usual ones load their script from elsewhere.
func (s *Server) api() http.Handler {
	mux := http.NewServeMux()
	cfg := huma.DefaultConfig("dewgap", s.cfg.Version)
	cfg.Info.Description = "When to wash, polish and seal a boat outdoors, and why. The answers are those of dewgap's --json. " +
		"A POST that may be sent twice carries an Idempotency-Key; a change of a job carries If-Match."
	cfg.OpenAPIPath, cfg.DocsPath, cfg.SchemasPath = "/api/openapi", "", ""
	cfg.CreateHooks = nil // no $schema in the answers: they are byte for byte those of --json
	a := huma.NewAPI(cfg, humago.NewAdapter(mux, ""))
	s.readRoutes(a)
	s.bookRoutes(a)
	s.writeRoutes(a)
	s.jobRoutes(a)
	nullable(a.OpenAPI().Components.Schemas)
	mux.HandleFunc("/api/", notThere(mux))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "private, no-cache") // what is of one person is nothing for a cache between
		mux.ServeHTTP(w, r)
	})
}

// notThere answers for addresses that there are not, and for methods that an address
// does not have.
func notThere(mux *http.ServeMux) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var allow []string
		for _, method := range []string{http.MethodGet, http.MethodPost, http.MethodPut, http.MethodDelete} {
			probe := &http.Request{Method: method, URL: r.URL, Host: r.Host}
			if _, pattern := mux.Handler(probe); pattern != "/api/" {
				allow = append(allow, method)
			}
		}
		if len(allow) == 0 {
			problem(w, r, http.StatusNotFound, "there is nothing at this address", "see /api/openapi.json for what there is")
			return
		}
		w.Header()["Allow"] = allow
		problem(w, r, http.StatusMethodNotAllowed, "this address does not take "+methodLabel(r.Method), "see /api/openapi.json for what it takes")
	}
}

// JobInput names a job. Inputs that others embed are exported, for huma to see their fields.
type JobInput struct {
	Job string `path:"job" doc:"Id of the job, as /api/jobs lists it" example:"demo"`
}

// PageInput asks for a stretch of a list.
type PageInput struct {
	JobInput
	Limit  int    `query:"limit" doc:"How many at most" minimum:"1" maximum:"200" default:"50"`
	Cursor string `query:"cursor" doc:"next of the page before; without it, from the newest" pattern:"^[0-9]*$" maxLength:"19"`
}

// before is the number that the page lies below, 0 for the newest.
func (p PageInput) before() int64 {
	n, _ := strconv.ParseInt(p.Cursor, 10, 64) // the pattern has seen to it
	return n
}

// next is the cursor of the next page, "" at the end.
func next(n int64) string {
	if n == 0 {
		return ""
	}
	return strconv.FormatInt(n, 10)
}

// op describes an operation.
func op(method, path, id, summary string) huma.Operation {
	return huma.Operation{
		OperationID: id, Method: method, Path: path, Summary: summary, MaxBodyBytes: desk.LargestJob + 4096,
		Errors: []int{http.StatusNotFound, http.StatusInternalServerError, http.StatusServiceUnavailable},
	}
}

// gives says which type an operation answers with that writes its own bytes.
func gives[T any](a huma.API, o huma.Operation) huma.Operation {
	schema := a.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[T](), true, "")
	o.Responses = map[string]*huma.Response{
		"200": {Description: "OK", Content: map[string]*huma.MediaType{"application/json": {Schema: schema}}},
		"304": {Description: "The client has it: its tag was in If-None-Match"},
	}
	return o
}

// stream serves bytes that are ready, with their tag and compressed if wanted.
func stream(b *desk.Body, contentType string) *huma.StreamResponse {
	return &huma.StreamResponse{Body: func(ctx huma.Context) {
		r, w := humago.Unwrap(ctx)
		b.Serve(w, r, contentType)
	}}
}

// register adds an operation whose errors are told as problems.
func register[I, O any](s *Server, a huma.API, o huma.Operation, handle func(context.Context, *I) (*O, error)) {
	huma.Register(a, o, func(ctx context.Context, in *I) (*O, error) {
		out, err := handle(ctx, in)
		if err != nil {
			p := problemOf(err)
			if p.Status == http.StatusInternalServerError {
				s.log.Error("fault", "operation", o.OperationID, "error", err)
			}
			return nil, p
		}
		return out, nil
	})
}

// kept is an answer of the desk as bytes, with a mark where it is of an earlier slot.
func kept[T any](snap *desk.Snapshot[T], err error) (*huma.StreamResponse, error) {
	if err != nil {
		return nil, err
	}
	return &huma.StreamResponse{Body: func(ctx huma.Context) {
		r, w := humago.Unwrap(ctx)
		if snap.Stale {
			w.Header().Set("Dewgap-Stale", snap.At.UTC().Format(http.TimeFormat))
		}
		snap.JSON.Serve(w, r, "application/json")
	}}, nil
}

// body is an answer as JSON.
type body[T any] struct{ Body T }

// jobsAnswer lists jobs.
type jobsAnswer struct {
	Jobs []desk.JobInfo `json:"jobs"`
}

// placesAnswer lists places.
type placesAnswer struct {
	Places []desk.Harbour `json:"places"`
}

// whyInput asks why.
type whyInput struct {
	JobInput
	Zone string `query:"zone" required:"true" doc:"Zone of the boat" example:"port side"`
	With string `query:"with" required:"true" doc:"Product class, or a product of your own" example:"polymer-sealant"`
	At   string `query:"at" doc:"By the clock at the place: 09:00 today, 2026-09-10T09:00, or RFC 3339; without it, now" maxLength:"40"`
}

// readRoutes are what is asked and changes nothing.
func (s *Server) readRoutes(a huma.API) {
	d := s.cfg.Desk
	register(s, a, op("GET", "/api/jobs", "list-jobs", "The open jobs"), func(context.Context, *struct{}) (*body[jobsAnswer], error) {
		return &body[jobsAnswer]{jobsAnswer{d.Jobs()}}, nil
	})
	register(s, a, op("GET", "/api/jobs/{job}", "get-job", "One job"), func(_ context.Context, in *JobInput) (*body[desk.JobInfo], error) {
		info, err := d.Job(in.Job)
		return &body[desk.JobInfo]{info}, err
	})
	register(s, a, op("GET", "/api/places", "list-places", "Where the boats lie"), func(context.Context, *struct{}) (*body[placesAnswer], error) {
		return &body[placesAnswer]{placesAnswer{d.Places()}}, nil
	})
	register(s, a, gives[answer.Products](a, op("GET", "/api/products", "list-products", "The product classes, and your own")),
		func(context.Context, *struct{}) (*huma.StreamResponse, error) {
			var out bytes.Buffer
			err := answer.Write(&out, d.Products())
			return stream(desk.NewBody(out.Bytes()), "application/json"), err
		})
	register(s, a, gives[answer.Week](a, op("GET", "/api/jobs/{job}/week", "get-week", "Which day, which side, in which order")),
		func(ctx context.Context, in *JobInput) (*huma.StreamResponse, error) {
			return kept(d.Week(ctx, in.Job))
		})
	register(s, a, gives[answer.Morning](a, op("GET", "/api/jobs/{job}/morning", "get-morning", "Go, wait until when, or no-go today")),
		func(ctx context.Context, in *JobInput) (*huma.StreamResponse, error) {
			return kept(d.Morning(ctx, in.Job))
		})
	register(s, a, gives[answer.Why](a, op("GET", "/api/jobs/{job}/why", "get-why", "Every limit of one product on one zone at one moment")),
		func(ctx context.Context, in *whyInput) (*huma.StreamResponse, error) {
			return kept(d.WhyAt(ctx, in.Job, in.Zone, in.With, in.At))
		})
}
