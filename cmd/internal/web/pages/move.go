package pages

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/web/desk"
)

// movePage is what the page after rain shows.
type movePage struct {
	Last    *answer.Move
	Message string // of the last move, for the owner, as text to copy
	Head    string
	Kept    []answer.BlockChange // blocks that stand as they stood and ask for nothing more, or are done
	Left    []leftRow            // blocks that were under way, or may have been
	Free    int                  // the number of the row in which anything may be said
	Steps   []string
	Zones   []string
	Now     time.Time
	refusal
}

// leftRow is one block that work may have been left in.
type leftRow struct {
	answer.PlanBlock
	Index int
}

func (p *Pages) move(r *http.Request) (*view, error) { return p.moveView(r, refusal{}) }

func (p *Pages) moveView(r *http.Request, x refusal) (*view, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, err
	}
	last, err := p.cfg.Desk.LastMove(r.Context(), b.ID)
	if err != nil {
		return nil, err
	}
	body := &movePage{Last: last, refusal: x}
	if body.Left, err = p.underWay(r, b.ID); err != nil {
		return nil, err
	}
	body.Free = len(body.Left)
	j, err := p.jobFile(r, b.ID)
	if err != nil {
		return nil, err
	}
	body.Now = p.cfg.Clock().In(j.Location())
	for _, s := range j.Steps {
		body.Steps = append(body.Steps, s.Name)
		for _, z := range s.On {
			body.Zones = addOnce(body.Zones, j.Zones[z].Name)
		}
	}
	if last != nil {
		body.Head, body.Message = p.voice.moveHead(last), p.voice.message(last)
		body.Kept = only(last.Changes, func(c answer.BlockChange) bool {
			return len(c.Duties()) == 0 && (c.Stays() || c.Change == "done")
		})
	}
	v := &view{template: "move", Title: "After rain, " + boatName(b.Boat), Tab: "move", Boat: b, Body: body}
	if x.Problem != "" {
		v.status = http.StatusUnprocessableEntity
	}
	return v, nil
}

// mostLeft is how many blocks the form asks about.
const mostLeft = 12

// mostPlans is how many earlier plans are looked at for work under way.
const mostPlans = 6

// underWay are the blocks, of the plans that the book has, that had begun by now and
// ended in the last day and a half: the work that rain may have met. A plan made since
// has only what was still to come, so the older ones are looked at too.
func (p *Pages) underWay(r *http.Request, id string) ([]leftRow, error) {
	list, err := p.cfg.Desk.Log(r.Context(), id)
	if err != nil {
		return nil, err
	}
	now := p.cfg.Clock()
	var out []leftRow
	plans := 0
	for _, a := range list.Answers {
		if a.Kind != book.Week && a.Kind != book.Move {
			continue
		}
		if plans++; plans > mostPlans {
			break
		}
		data, err := p.cfg.Desk.AnswerBytes(r.Context(), id, a.ID)
		if err != nil {
			return nil, err
		}
		var made struct{ Plan *answer.Plan }
		if err := json.Unmarshal(data, &made); err != nil || made.Plan == nil {
			continue // an answer of another dewgap: the form has a free row
		}
		out = begun(out, made.Plan.Blocks, now)
	}
	slices.SortStableFunc(out, func(a, b leftRow) int { return a.From.Compare(b.From) })
	for i := range out {
		out[i].Index = i
	}
	return out, nil
}

// begun adds the blocks that had begun, each step on a zone once.
func begun(out []leftRow, blocks []answer.PlanBlock, now time.Time) []leftRow {
	for _, b := range blocks {
		had := slices.ContainsFunc(out, func(o leftRow) bool { return o.Step == b.Step && o.Zone == b.Zone })
		if !had && len(out) < mostLeft && b.From.Before(now) && b.To.After(now.Add(-36*time.Hour)) {
			out = append(out, leftRow{PlanBlock: b})
		}
	}
	return out
}

// askMove moves the plan by what the form says, and goes back to the page, which has
// the answer.
func (p *Pages) askMove(r *http.Request) (*view, error) {
	if err := readForm(r); err != nil {
		return nil, err
	}
	now, err := p.here(r)
	var m Rained
	if err == nil {
		m, err = p.voice.rained(r.PostForm, now)
	}
	if err == nil {
		err = p.writeRain(r, &m, now)
	}
	if err == nil {
		err = p.moved(r, m)
	}
	if x, again := refuse(err, r.PostForm); again {
		return p.moveView(r, x)
	}
	if err != nil {
		return nil, err
	}
	return seeOther("/move/" + url.PathEscape(r.PathValue("job")) + "#answer"), nil
}

// planAnew makes a new plan, and goes to it.
func (p *Pages) planAnew(r *http.Request) (*view, error) {
	id := r.PathValue("job")
	if _, err := p.cfg.Desk.PlanAnew(r.Context(), id); err != nil {
		return nil, err
	}
	return seeOther("/week/" + url.PathEscape(id) + "#plan"), nil
}

// moved moves the plan; where there is none yet the week makes one first.
func (p *Pages) moved(r *http.Request, m Rained) error {
	id := r.PathValue("job")
	_, err := p.cfg.Desk.Move(r.Context(), id, m)
	if !errors.Is(err, desk.ErrNoPlan) {
		return err
	}
	if _, err := p.cfg.Desk.Week(r.Context(), id); err != nil {
		return err
	}
	_, err = p.cfg.Desk.Move(r.Context(), id, m)
	return err
}

// writeRain writes the rain of a form into the book, once however often the form is
// sent; the move then has it from there. Without a book the form alone tells of it.
func (p *Pages) writeRain(r *http.Request, m *Rained, now time.Time) error {
	if m.From == "" || !p.cfg.Desk.HasBook() {
		return nil
	}
	id := r.PathValue("job")
	at, err := desk.Moment(m.From)(now, now.Location())
	if err != nil {
		return err
	}
	list, err := p.cfg.Desk.Log(r.Context(), id)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(list.Readings, func(e answer.Entry) bool { return e.At.Equal(at) && strings.HasPrefix(e.Text, "rain") }) {
		if _, err := p.cfg.Desk.LogRain(r.Context(), id, desk.Rain{From: m.From, To: m.To, MM: m.MM}); err != nil {
			return err
		}
	}
	m.From, m.To, m.MM = "", "", nil
	return nil
}

// rained reads the form. Rain of an earlier day that ends before it begins has gone on
// past midnight.
func (v voice) rained(f url.Values, now time.Time) (Rained, error) {
	date := f.Get("date")
	out := Rained{From: moment(date, f.Get("from")), To: moment(date, f.Get("to"))}
	if out.From == "" != (out.To == "") {
		missing := map[bool]string{true: "from", false: "to"}[out.From == ""]
		return out, badField(missing, "Rain has a beginning and an end", "Give both times, or neither for a day lost without rain.")
	}
	if d, err := time.Parse(time.DateOnly, date); err == nil && date < isoDay(now) && f.Get("to") < f.Get("from") {
		out.To = moment(isoDay(d.AddDate(0, 0, 1)), f.Get("to"))
	}
	if out.From != "" {
		if err := behind([2]string{"from", "to"}, out.From, out.To, "The rain", now); err != nil {
			return out, err
		}
	}
	mm, err := number("the amount of rain", "mm", f.Get("mm"))
	if err != nil {
		return out, err
	}
	if mm.Known {
		if mm.V <= 0 || out.From == "" {
			return out, badField("mm", "The amount of rain does not fit", "Leave it empty where nobody measured, and give from when to when it rained.")
		}
		if v.units.Units == "us" {
			mm.V *= 25.4
		}
		out.MM = &mm.V
	}
	out.Left, err = leftIn(f, now)
	return out, err
}

// leftIn reads what was under way. The times of a block that the page names are of the
// block's own day, others of the day of the rain.
func leftIn(f url.Values, now time.Time) ([]Left, error) {
	var out []Left
	for i := 0; i <= mostLeft && f.Has("left.step."+strconv.Itoa(i)); i++ {
		n := strconv.Itoa(i)
		how, ok := desk.LeftWords[f.Get("left.how."+n)]
		if !ok {
			continue // it was not under way
		}
		share, err := number("the share", "left.share."+n, f.Get("left.share."+n))
		if err != nil {
			return nil, err
		}
		if share.Known && !(share.V > 0 && share.V <= 100) {
			return nil, badField("left.share."+n, "A share lies above 0 and at most at 100 %", "Write half a side as 50.")
		}
		date := f.Get("left.date." + n)
		if date == "" {
			date = f.Get("date")
		}
		x := Left{Step: f.Get("left.step." + n), Zone: f.Get("left.zone." + n), How: how, Share: share.V / 100,
			From: moment(date, f.Get("left.from."+n)), To: moment(date, f.Get("left.to."+n))}
		if x.From == "" != (x.To == "") {
			missing := map[bool]string{true: "left.from.", false: "left.to."}[x.From == ""]
			return nil, badField(missing+n, "Work has a first and a last section", "Give both times, or neither where nobody knows.")
		}
		if x.From != "" {
			if err := behind([2]string{"left.from." + n, "left.to." + n}, x.From, x.To, "The work", now); err != nil {
				return nil, err
			}
		}
		out = append(out, x)
	}
	return out, nil
}

// moment joins a day and a time; a time alone is today's.
func moment(date, clock string) string {
	if clock == "" || date == "" {
		return clock
	}
	return date + "T" + clock
}

// moveHead answers in a line how much moved and whether the day stands.
func (v voice) moveHead(m *answer.Move) string {
	s := fmt.Sprintf("Moved %d of %d blocks", m.Moved, m.Blocks)
	switch {
	case m.NotKnown() != "":
		s = answer.Capital(m.NotKnown())
	case m.Plan == nil || m.Plan.State == answer.None:
		s = "No plan fits the weather any longer"
	case m.Blocks == 0:
		s = "No block of an earlier plan is left to do"
	case m.Moved > 0 && m.Proven:
		s += ", no fewer will do"
	case m.Moved > m.Least && m.Least > 0: // that none must is no news
		s += fmt.Sprintf(", at least %d must", m.Least)
	}
	return s
}

// message is what to send to the owner.
func (v voice) message(m *answer.Move) string {
	s := ""
	for _, x := range m.Owner {
		s += v.prose(x) + "\n"
	}
	return s
}
