package cli

import (
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"dewgap/cmd/internal/feed"
	"dewgap/cmd/internal/web/desk"
)

// calendarOf serves the calendars of a desk's jobs as /ID.ics.
type calendarOf struct {
	desk *desk.Desk
	log  *slog.Logger
	// prose puts sentences into the units of the server; nil leaves them.
	prose func(string) string
}

// calendarRefresh is how often a calendar program should look again.
const calendarRefresh = 30 * time.Minute

// ServeHTTP writes a calendar.
func (c calendarOf) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	id, ok := strings.CutSuffix(strings.TrimPrefix(r.URL.Path, "/"), ".ics")
	if !ok || strings.Contains(id, "/") {
		http.NotFound(w, r)
		return
	}
	versions, err := c.desk.PlanVersions(r.Context(), id)
	if errors.Is(err, desk.ErrNoJob) {
		http.NotFound(w, r)
		return
	}
	var data []byte
	if err == nil {
		data, err = feed.Calendar(feed.Of(feed.Job{Versions: versions, Classes: c.desk.Classes(), Refresh: calendarRefresh, Prose: c.prose}))
	}
	if err != nil {
		c.log.Warn("no calendar", "job", id, "error", err)
		w.Header().Set("Retry-After", "600")
		http.Error(w, "the calendar cannot be made now", http.StatusServiceUnavailable)
		return
	}
	desk.NewBody(data).Serve(w, r, feed.ContentType)
}
