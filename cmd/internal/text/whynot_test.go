package text

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Days that follow each other and have the same reason are told once.
func TestWhyNotTellsLikeDaysOnce(t *testing.T) {
	for name, c := range map[string]struct{ in, want []string }{
		"the same": {
			[]string{"Mon 11 May: thunder (bow)", "Tue 12 May: thunder (bow)", "Wed 13 May: thunder (bow)", "Thu 14 May: thunder (bow)"},
			[]string{"Mon 11 to Thu 14 May: thunder (bow)"},
		},
		"another reason between": {
			[]string{"Mon 11 May: thunder", "Tue 12 May: rain", "Wed 13 May: thunder"},
			[]string{"Mon 11 May: thunder", "Tue 12 May: rain", "Wed 13 May: thunder"},
		},
		"a good day between": {
			[]string{"Mon 11 May: thunder", "Wed 13 May: thunder"},
			[]string{"Mon 11 May: thunder", "Wed 13 May: thunder"},
		},
		"other zones": {
			[]string{"Mon 11 May: panel 45 °C, at most 32 (bow)", "Tue 12 May: panel 45 °C, at most 32 (bow, stern)"},
			[]string{"Mon 11 May: panel 45 °C, at most 32 (bow)", "Tue 12 May: panel 45 °C, at most 32 (bow, stern)"},
		},
		"the value differs": {
			[]string{"Sun 29 Nov: panel 3 °C, needs 8", "Mon 30 Nov: panel -2.8 °C, needs 8", "Tue 1 Dec: panel 3.1 °C, needs 8"},
			[]string{"Sun 29 Nov to Tue 1 Dec: panel -2.8 to 3.1 °C, needs 8"},
		},
		"the bound differs": {
			[]string{"Mon 11 May: panel 3 °C, needs 8", "Tue 12 May: panel 3 °C, needs 10"},
			[]string{"Mon 11 May: panel 3 °C, needs 8", "Tue 12 May: panel 3 °C, needs 10"},
		},
		"hours and minutes": {
			[]string{"Mon 11 May: rain 1 h 20 min after the work, needs 4 h", "Tue 12 May: rain 2 h 20 min after the work, needs 4 h"},
			[]string{"Mon 11 May: rain 1 h 20 min after the work, needs 4 h", "Tue 12 May: rain 2 h 20 min after the work, needs 4 h"},
		},
		"the year ends":        {[]string{"Thu 31 Dec: thunder", "Fri 1 Jan: thunder"}, []string{"Thu 31 Dec to Fri 1 Jan: thunder"}},
		"no leap year":         {[]string{"Sat 28 Feb: thunder", "Sun 1 Mar: thunder"}, []string{"Sat 28 Feb to Sun 1 Mar: thunder"}},
		"a leap year's 29 Feb": {[]string{"Mon 28 Feb: thunder", "Wed 1 Mar: thunder"}, []string{"Mon 28 Feb: thunder", "Wed 1 Mar: thunder"}},
		"no day":               {[]string{"thunder", "thunder", ": x"}, []string{"thunder", "thunder", ": x"}},
		"none":                 {nil, nil},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, WhyNot(c.in, Options{})) })
	}
	assert.Equal(t, []string{"Mon 11 to Tue 12 May: panel 114 °F, at most 89"},
		WhyNot([]string{"Mon 11 May: panel 45.1 °C, at most 32", "Tue 12 May: panel 45.2 °C, at most 32"}, us), "no figure twice")
}

// Screen and note tell like days once; the answer keeps every day.
func TestLikeDaysOnceOnScreenAndNote(t *testing.T) {
	a := lateSummer(t)
	a.Headline.WhyNot = []string{"Tue 8 Sep: thunder (port side)", "Wed 9 Sep: thunder (port side)"}
	page := weekPage(t, a, metric)
	assert.Contains(t, page, "Why not Tue 8 to Wed 9 Sep: thunder (port side).\n")
	assert.Equal(t, 1, strings.Count(page, "Why not"))
	a.Plan = &answer.Plan{}
	assert.Equal(t, []string{"Tue 8 to Wed 9 Sep: thunder (port side)."}, tidied(metric.noteWhy(a, ToOwner)))
	assert.Len(t, a.Headline.WhyNot, 2)
}

func tidied(list []string) []string {
	for i := range list {
		list[i] = untie(list[i])
	}
	return list
}

// Every day of the answer lies in exactly one of the stretches told, in order, and no
// day that it leaves out does.
func TestWhyNotCoversTheDaysOfTheAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first := time.Date(rapid.IntRange(2023, 2029).Draw(t, "year"), 1, rapid.IntRange(1, 366).Draw(t, "day"), 0, 0, 0, 0, time.UTC)
		var in, days []string
		for i := range 16 {
			if why := rapid.SampledFrom([]string{"", "thunder", "panel 45 °C, at most 32", "panel 46 °C, at most 32"}).Draw(t, "why"); why != "" {
				d := first.AddDate(0, 0, i).Format(answerDay)
				in, days = append(in, d+": "+why), append(days, d)
			}
		}
		var told []string
		for _, s := range WhyNot(in, Options{}) {
			span, _, _ := strings.Cut(s, ": ")
			from, to, more := strings.Cut(span, " to ")
			if !more {
				told = append(told, from)
				continue
			}
			for i := range 16 {
				d := first.AddDate(0, 0, i).Format(answerDay)
				if strings.HasPrefix(d, from) && (len(d) == len(from) || d[len(from)] == ' ') {
					for ; ; i++ {
						d = first.AddDate(0, 0, i).Format(answerDay)
						if told = append(told, d); d == to {
							break
						}
					}
					break
				}
			}
		}
		require.Equal(t, days, told)
	})
}
