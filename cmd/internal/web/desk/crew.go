package desk

import (
	"context"
	"fmt"
	"hash/fnv"
)

// crewSeen is where the crew of a job was besides, as the book had it at some state.
type crewSeen struct{ state, mark string }

// crewOf changes with where a job's crew is besides, which a plan of another job changes:
// the book is asked again only once something was written. "" for a job without a crew, and
// where the book cannot tell: the answer itself then says why.
func (d *Desk) crewOf(ctx context.Context, j *openJob, t jobText) string {
	if d.cfg.Book == nil {
		return ""
	}
	state := fmt.Sprintf("%s %d %d %s", t.tag, d.entries.Load(), d.plans.Load(), d.zoneOf(j))
	j.mu.Lock()
	seen := j.crew
	j.mu.Unlock()
	if seen.state == state {
		return seen.mark
	}
	r := d.request(j, t)
	r.Timezone = d.zoneOf(j)
	mark, err := d.app(d.cfg.Book).CrewMark(ctx, r)
	if err != nil || mark == "" {
		mark = ""
	} else {
		h := fnv.New64a()
		_, _ = h.Write([]byte(mark)) // it never fails
		mark = fmt.Sprintf(".%x", h.Sum64())
	}
	if err == nil {
		j.mu.Lock()
		j.crew = crewSeen{state, mark}
		j.mu.Unlock()
	}
	return mark
}
