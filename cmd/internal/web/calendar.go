package web

import (
	"net/http"
	"strings"
)

// calendar serves the calendar to who has a link: /calendar/TOKEN/NAME, or, where no
// sign-in is asked for, /calendar/NAME. The calendar itself sees /NAME. A calendar
// program cannot sign in, so its link has a token of its own, which can be ended
// without ending anything else.
func (s *Server) calendar(w http.ResponseWriter, r *http.Request) {
	rest := strings.TrimPrefix(r.URL.Path, "/calendar/")
	token, name, has := strings.Cut(rest, "/")
	if !has && !s.cfg.SignIn {
		token, name = "", rest
	}
	from := s.addressOf(r)
	switch {
	case s.cfg.Calendar == nil:
		problem(w, r, http.StatusNotFound, "there is no calendar here", "look at the pages of this server")
		return
	case has && s.guesses.wait(from) > 0:
		p := newProblem(http.StatusTooManyRequests, "too many wrong links", "wait a minute, then try again")
		p.after = int(s.guesses.wait(from).Seconds())
		writeProblem(w, r, p)
		return
	case has && !s.cfg.Secrets.IsCalendar(token), !has && s.cfg.SignIn && !s.cfg.Secrets.SignedIn(s.sessionOf(r)):
		if has {
			s.guesses.wrong(from)
		}
		problem(w, r, http.StatusNotFound, "this calendar link does not hold", "make a new one with dewgap serve --new-calendar-link")
		return
	case !has:
		name = rest
	}
	inner := r.Clone(r.Context())
	inner.URL.Path, inner.URL.RawPath = "/"+name, ""
	inner.RequestURI = inner.URL.RequestURI()
	w.Header().Set("Cache-Control", "private, no-cache")
	s.cfg.Calendar.ServeHTTP(w, inner)
}

// calendarLinks are the addresses of all jobs' calendars under a token.
func (s *Server) calendarLinks(r *http.Request, token string) []string {
	var out []string
	for _, j := range s.cfg.Desk.Jobs() {
		out = append(out, CalendarLink(s.base(r), token, j.ID))
	}
	return out
}

// CalendarLink is the address of a job's calendar under a token.
func CalendarLink(base, token, id string) string {
	return base + "/calendar/" + token + "/" + id + ".ics"
}

// base is the address by which others reach us: the public one, else the one by which
// this request did, for where we listen to all there is no other that is known.
func (s *Server) base(r *http.Request) string {
	if s.cfg.PublicURL != "" {
		return s.cfg.PublicURL
	}
	return "http://" + r.Host
}

// calendarLinkPage offers to make a link or to end those that there are.
func (s *Server) calendarLinkPage(w http.ResponseWriter, _ *http.Request) {
	lines := []string{"A calendar program follows the work blocks by a link of its own. Whoever has the link can read the calendar, and nothing else."}
	if s.cfg.Secrets.HasCalendar() {
		lines = append(lines, "There is a link. It was shown when it was made and cannot be shown again; a new one ends it.")
	}
	s.writeForm(w, http.StatusOK, formData{Title: "Calendar link", Calendar: true, Has: s.cfg.Secrets.HasCalendar(), Lines: lines})
}

// calendarLink makes a link, or ends those that there are.
func (s *Server) calendarLink(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, 16<<10)
	data := formData{Title: "Calendar link", Calendar: true}
	var err error
	switch r.PostFormValue("do") {
	case "new":
		var token string
		if token, err = s.cfg.Secrets.NewCalendar(); err == nil {
			data.Lines = []string{"Give this address to your calendar program. It is shown only now:"}
			data.Links, data.Has = s.calendarLinks(r, token), true
		}
	case "end":
		err = s.cfg.Secrets.EndCalendar()
		data.Lines = []string{"The calendar links have ended."}
	default:
		problem(w, r, http.StatusBadRequest, "the form does not say what to do", "go back and press one of its buttons")
		return
	}
	if err != nil {
		s.log.Error("calendar link", "error", err)
		problem(w, r, http.StatusInternalServerError, "the calendar link could not be kept", "look at the server's log")
		return
	}
	s.writeForm(w, http.StatusOK, data)
}
