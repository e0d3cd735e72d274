package web

import (
	"context"
	"net/http"

	"dewgap/cmd/internal/web/desk"

	"github.com/danielgtaylor/huma/v2"
)

// yamlType is that of job files.
const yamlType = "application/yaml"

// TextInput is a job's text.
type TextInput struct {
	JobInput
	RawBody []byte `contentType:"application/yaml"`
}

// saveInput is a job's text to be kept.
type saveInput struct {
	TextInput
	IfMatch string `header:"If-Match" doc:"ETag of the text that was changed" maxLength:"200"`
}

// savedAnswer tells the new tag.
type savedAnswer struct {
	ETag string `header:"ETag"`
	Body desk.JobInfo
}

// jobRoutes read and change a job's file.
func (s *Server) jobRoutes(a huma.API) {
	d := s.cfg.Desk
	get := op("GET", "/api/jobs/{job}/text", "get-text", "The job's file")
	get.Responses = map[string]*huma.Response{
		"200": {Description: "OK", Content: map[string]*huma.MediaType{yamlType: {Schema: &huma.Schema{Type: "string"}}}},
		"304": {Description: "The client has it: its tag was in If-None-Match"},
	}
	register(s, a, get, func(_ context.Context, in *JobInput) (*huma.StreamResponse, error) {
		t, err := d.JobText(in.Job)
		return stream(&desk.Body{Bytes: t.Text, Tag: t.Tag}, yamlType+"; charset=utf-8"), err
	})
	put := writeOp("PUT", "/api/jobs/{job}/text", "put-text", "Change the job's file; the text before is kept beside it")
	put.Errors = append(put.Errors, http.StatusPreconditionFailed, http.StatusPreconditionRequired)
	register(s, a, put, func(_ context.Context, in *saveInput) (*savedAnswer, error) {
		if in.IfMatch == "" {
			return nil, newProblem(http.StatusPreconditionRequired, "If-Match is missing", "send the ETag of the text that you changed, so that nobody's change is lost")
		}
		t, err := d.JobText(in.Job)
		if err != nil {
			return nil, err
		}
		if !desk.HasTag(in.IfMatch, t.Tag) {
			return nil, desk.ErrChanged
		}
		saved, err := d.SaveJob(in.Job, in.RawBody, t.Tag)
		if err != nil {
			return nil, err
		}
		info, err := d.Job(in.Job)
		return &savedAnswer{`"` + saved.Tag + `"`, info}, err
	})
	register(s, a, writeOp("POST", "/api/jobs/{job}/check", "check-text", "Look a text over without keeping it"),
		func(_ context.Context, in *TextInput) (*body[checkAnswer], error) {
			j, err := d.CheckJob(in.Job, in.RawBody)
			if err != nil {
				return nil, err
			}
			return &body[checkAnswer]{checkAnswer{Job: j.Name, Boat: j.Boat, Zones: len(j.Zones), Steps: len(j.Steps)}}, nil
		})
}

// checkAnswer tells that a text is right.
type checkAnswer struct {
	Job   string `json:"job"`
	Boat  string `json:"boat"`
	Zones int    `json:"zones"`
	Steps int    `json:"steps"`
}
