package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/window"
	"dewgap/window/job"
)

// heard is what the book's answers were told, or found, of the fate of work: what no
// entry of the book says. What one of them knew the next ones know too.
type heard struct {
	Rain []window.Rain `json:"rain,omitempty"` // told to dewgap move
	Fell []window.Rain `json:"fell,omitempty"` // the forecast's, which a later one may not reach back to
	Left []LeftWork    `json:"left,omitempty"` // told to dewgap move
	// Begun is when work that is done was begun, by the plan of its time.
	Begun []begun `json:"begun,omitempty"`
}

// begun is the block of a plan in which work was done.
type begun struct {
	Step, Zone       string
	At, From, WorkTo time.Time
}

func (h *heard) empty() bool { return len(h.Rain)+len(h.Fell)+len(h.Left)+len(h.Begun) == 0 }

// recallHeard takes what earlier answers were told and found, newer ones first: of a
// day's rain, and of how the work of a step on a zone was left, the last word counts.
func (p *past) recallHeard(ctx context.Context, b Book, j book.Key, now time.Time) error {
	if len(p.done) == 0 {
		return nil
	}
	list, err := b.Answers(ctx, book.AnswerFilter{Job: j})
	if err != nil {
		return err
	}
	type place struct{ step, zone string }
	left, rain, fell := map[place]bool{}, map[int64]bool{}, map[int64]bool{}
	for _, x := range list {
		text := x.Settings[keptTold]
		if text == "" || x.At.After(now) || x.At.Before(p.since) {
			continue
		}
		var told heard
		if err := json.Unmarshal([]byte(text), &told); err != nil {
			return fmt.Errorf("reading what answer %d was told: %w", x.ID, err)
		}
		var places []place
		for _, l := range told.Left {
			at := place{l.Step, l.Zone}
			if places = append(places, at); !left[at] && !p.doneSince(l, x.At) {
				p.heard.Left = append(p.heard.Left, l)
			}
		}
		for _, at := range places {
			left[at] = true
		}
		p.heard.Rain = append(p.heard.Rain, unheard(told.Rain, rain)...)
		p.heard.Fell = append(p.heard.Fell, unheard(told.Fell, fell)...)
	}
	return nil
}

// unheard are the spells of days that were not heard of, which then are.
func unheard(list []window.Rain, days map[int64]bool) []window.Rain {
	var out []window.Rain
	for _, r := range list {
		if !days[rainDay(r)] {
			out = append(out, r)
		}
	}
	for _, r := range list {
		days[rainDay(r)] = true
	}
	return out
}

// doneSince reports whether the book has the work done later than an answer was told
// how it was left: then that is the last word.
func (p *past) doneSince(l LeftWork, told time.Time) bool {
	return slices.ContainsFunc(p.done, func(d book.Done) bool { return d.Step == l.Step && d.Zone == l.Zone && d.At.After(told) })
}

// recallRained takes the rain that the book has since the first work that is done,
// besides what is still news.
func (p *past) recallRained(ctx context.Context, b Book, any book.Key, j *job.Job, now time.Time) error {
	if len(p.done) == 0 || !p.done[0].At.Before(now.Add(-saltLasts)) {
		return nil
	}
	list, err := recallReadings(ctx, b, any, j, now, p.done[0].At.Add(-looksBack))
	for _, m := range list {
		if isRain(m) && m.At.Before(now.Add(-saltLasts)) {
			p.rained = append(p.rained, m)
		}
	}
	return err
}

// recallBegun finds when the work that is done was begun: in the newest plan of its
// time that has a block which ended with it.
func (p *past) recallBegun(ctx context.Context, b Book, j book.Key, now time.Time) error {
	if len(p.done) == 0 {
		return nil
	}
	list, err := b.Plans(ctx, j)
	if err != nil {
		return err
	}
	blocks := map[book.Key][]answer.PlanBlock{}
	for _, d := range p.done {
		for _, x := range list {
			if x.At.After(now) {
				continue
			}
			if _, read := blocks[x.Body]; !read {
				var of past
				if err := of.setPlan(ctx, b, x); err != nil {
					return err
				}
				blocks[x.Body] = of.planned
			}
			if of, ok := blockOfDone(blocks[x.Body], d.Step, d.Zone, d.At); ok {
				p.heard.Begun = append(p.heard.Begun, begun{d.Step, d.Zone, d.At, of.From, of.WorkTo})
				break
			}
		}
	}
	return nil
}

// blockOfDone is the last block of a plan in which work that ended at a moment was
// done: what was logged within a slack of its end was.
func blockOfDone(list []answer.PlanBlock, step, zone string, at time.Time) (answer.PlanBlock, bool) {
	var out answer.PlanBlock
	found := false
	for _, x := range list {
		if x.Step == step && x.Zone == zone && x.From.Before(at) && !at.After(x.To.Add(slack)) {
			out, found = x, true
		}
	}
	return out, found
}

// told is what an answer was told and found, for those after it; "" where nothing.
func (g *gathered) told() (string, error) {
	x := g.news
	if g.stock != nil {
		for _, r := range g.stock.Rain {
			if !r.Observed {
				x.Fell = append(x.Fell, r)
			}
		}
	}
	if x.empty() {
		return "", nil
	}
	data, err := json.Marshal(x)
	return string(data), err
}
