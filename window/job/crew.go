package job

import (
	"fmt"
	"time"
)

// Defaults of what a job need not say.
const (
	defaultSure     = 0.8 // share of the members that must agree
	defaultShortest = 2.0 // hours; common practice
)

// crew reads who works and when, and what the person has decided.
func (s *section) crew(j *Job) {
	s.crewName(j)
	s.people(j)
	if v, ok := s.whole("polishers", span{1, 50, "the number of polishing machines"}); ok {
		j.Polishers = v
	}
	j.Hours = s.schedule("hours")
	s.days(j)
	for _, n := range s.each("away") {
		if d, ok := s.dateOf(n, "away"); ok {
			if j.Away == nil {
				j.Away = map[Date]bool{}
			}
			j.Away[d] = true
		}
	}
	j.Lamps, _ = s.flag("lamps")
	j.Towel = true
	if v, ok := s.flag("towel"); ok {
		j.Towel = v
	}
	j.Sure, j.ShortestH = defaultSure, defaultShortest
	if v, ok := s.number("sure", span{0.5, 1, "the share of forecasts that must agree, as 0.8 for 80 %,"}); ok {
		j.Sure = v
	}
	if v, ok := s.number("shortest_block_h", span{0, 12, "hours"}); ok {
		j.ShortestH = v
	}
	_, j.AcceptMargin = s.choice("accept", []string{"marginal"})
}

// crewName reads whose hands they are. A bare number is mostly meant for people.
func (s *section) crewName(j *Job) {
	n := s.take("crew")
	if n == nil {
		return
	}
	text, ok := s.textOf(n, "crew")
	if !ok {
		return
	}
	_, number := parseNumber(text)
	if !n.quoted && (number || isWord(text)) {
		s.fail(n.pos, fmt.Sprintf("`crew` is no name: %s", text), "name the people, such as Ada and Ben; how many they are belongs to people")
		return
	}
	j.Crew = text
}

// people reads how many work: a number for every day, or a mapping by day.
func (s *section) people(j *Job) {
	j.People = 1
	n := s.take("people")
	if n == nil {
		return
	}
	if n.shape != mapping {
		if v, ok := s.wholeOf(n, "people", span{1, 50, "the number of people"}); ok {
			j.People = v
		}
		return
	}
	j.PeopleWeekday, j.PeopleDates = map[time.Weekday]int{}, map[Date]int{}
	s.eachDay(n, "people", func(k dayKey, v *node) {
		least := 0.0
		if k.isDefault {
			least = 1
		}
		count, ok := s.wholeOf(v, "people", span{least, 50, "the number of people"})
		switch {
		case !ok:
		case k.isDefault:
			j.People = count
		case k.isDate:
			j.PeopleDates[k.date] = count
		default:
			j.PeopleWeekday[k.weekday] = count
		}
	})
}

func (s *section) days(j *Job) {
	for _, n := range s.each("days") {
		w, ok := parseWeekday(n.text)
		if n.shape != scalar || !ok {
			s.fail(n.pos, fmt.Sprintf("`days` has no day `%s`", n.text), "use mon, tue, wed, thu, fri, sat, sun")
			continue
		}
		if j.Days == nil {
			j.Days = map[time.Weekday]bool{}
		}
		j.Days[w] = true
	}
}

// mostDays is how far ahead a forecast reaches at most.
const mostDays = 16

// dates reads from, by, what must be met, and what is known of the past.
func (s *section) dates(j *Job) {
	from, ok1 := s.date("from")
	by, ok2 := s.date("by")
	j.From, j.By = from, by
	if ok1 && ok2 {
		first, last := from.Begins(time.UTC), by.Begins(time.UTC)
		switch {
		case last.Before(first):
			s.fail(s.at("by"), fmt.Sprintf("`by` %s is before `from` %s", by, from), "put the later day last")
		case last.Sub(first) >= mostDays*24*time.Hour:
			s.warn(s.at("by"), fmt.Sprintf("no forecast reaches further than %d days: the days after that are not looked at", mostDays))
		}
	}
	s.since(j)
	s.must(j)
}

func (s *section) since(j *Job) {
	n := s.take("since")
	if n == nil {
		return
	}
	in, ok := s.section(n, "since")
	if !ok {
		return
	}
	j.Since.Rain, j.Since.HasRain = in.pastMoment("rain", "`rain` under `since`")
	j.Since.Wash, j.Since.HasWash = in.pastMoment("wash", "`wash` under `since`")
	if spray, ok := in.yesNo("spray"); ok && spray != "unknown" {
		j.Since.Spray = spray
	}
	in.done()
}

// must reads moments that the plan has to meet, by a name of the person's own.
func (s *section) must(j *Job) {
	n := s.take("must")
	if n == nil {
		return
	}
	if n.shape != mapping {
		s.wrongShape(n, "must", "write it like must: {launch: 2026-09-14T08:00}")
		return
	}
	j.Must = map[string]time.Time{}
	for _, p := range n.pairs {
		if t, ok := s.momentOf(p.val, p.key, needsClock); ok {
			j.Must[p.key] = t
		}
	}
}
