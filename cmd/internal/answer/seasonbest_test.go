package answer_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

// seasonDays is a row whose months have so many days, -1 for one that is not there.
func seasonDays(suits bool, days ...int) answer.SeasonRow {
	r := answer.SeasonRow{Product: "p", Zone: "z", Suits: suits}
	for m, d := range days {
		if d >= 0 {
			r.Months[m] = &answer.SeasonMonth{Days: d}
		}
	}
	return r
}

// monthsOf are months by their numbers, from 1.
func monthsOf(is ...int) (out [12]bool) {
	for _, m := range is {
		out[m-1] = true
	}
	return out
}

// By hand: the mean of two zones, three quarters of the best, under four days.
func TestBestMonthsByHand(t *testing.T) {
	rows := []answer.SeasonRow{
		//                    Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec
		seasonDays(true, 0, 2, 4, 15, 20, 20, 17, 16, 14, 8, 4, 0),
		seasonDays(true, 1, 4, 4, 15, 20, 18, 13, 14, 16, 8, 3, 0),
		seasonDays(false, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9), // does not take it: does not count
	}
	b := answer.NewBestMonths(2026, rows)
	assert.Equal(t, 20.0, b.Most)
	assert.Equal(t, monthsOf(4, 5, 6, 7, 8, 9), b.Good, "15 of 20 is among the best")
	assert.Equal(t, monthsOf(1, 2, 11, 12), b.Poor, "4 a month is not poor, 3.5 is")

	rows[0].Months[10].UnknownDays = 1
	assert.Equal(t, monthsOf(1, 2, 12), answer.NewBestMonths(2026, rows).Poor, "a month in doubt is never poor")
	assert.Equal(t, monthsOf(4, 5, 6, 7, 8, 9), answer.NewBestMonths(2026, rows).Good)

	none := answer.NewBestMonths(2026, rows[2:])
	assert.Equal(t, answer.BestMonths{}, none)
	half := answer.NewBestMonths(2026, []answer.SeasonRow{seasonDays(true, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0), seasonDays(true, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)})
	assert.Equal(t, [12]bool{}, half.Good, "half a day is no promise")
	one := answer.NewBestMonths(2026, []answer.SeasonRow{seasonDays(true, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)})
	assert.Equal(t, monthsOf(1), one.Good)
}

// What no month can have is brought into it, and a month that is not there is not
// known: neither best nor poor.
func TestSeasonMonth(t *testing.T) {
	r := seasonDays(true, 40, 40, -1, -1)
	r.Months[4] = &answer.SeasonMonth{Days: 30, ConsentDays: 9, UnknownDays: 99, Hours: 1}
	r.Months[5] = &answer.SeasonMonth{Days: -3, ConsentDays: -3, UnknownDays: -3}
	x, long := r.Month(2026, 1)
	assert.Equal(t, 28, x.Days)
	assert.Equal(t, 28, long)
	x, _ = r.Month(2028, 1)
	assert.Equal(t, 29, x.Days, "a leap year")
	x, long = r.Month(2026, 2)
	assert.Equal(t, answer.SeasonMonth{UnknownDays: 31}, x)
	assert.Equal(t, 31, long)
	x, _ = r.Month(2026, 4)
	assert.Equal(t, answer.SeasonMonth{Days: 30, ConsentDays: 1, UnknownDays: 31, Hours: 1}, x)
	x, _ = r.Month(2026, 5)
	assert.Equal(t, answer.SeasonMonth{}, x)
	_, long = r.Month(2026, 11)
	assert.Equal(t, 31, long, "December ends with the year")

	b := answer.NewBestMonths(2026, []answer.SeasonRow{r})
	assert.False(t, b.Poor[2])
	assert.False(t, b.Good[2])
	assert.True(t, b.Poor[5])
	assert.Equal(t, 31.0, b.Most)
}

// The best month is good, none is both good and poor unless there is next to
// nothing at all, and one more day anywhere never makes a month poor.
func TestBestMonthsLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var rows []answer.SeasonRow
		for range rapid.IntRange(1, 4).Draw(rt, "zones") {
			rows = append(rows, seasonDays(rapid.Bool().Draw(rt, "suits"), rapid.SliceOfN(rapid.IntRange(-1, 28), 12, 12).Draw(rt, "days")...))
		}
		b := answer.NewBestMonths(2026, rows)
		for m := range 12 {
			if b.Good[m] && b.Poor[m] {
				require.Less(rt, 0.75*b.Most, 4.0)
			}
		}
		require.Equal(rt, b.Most >= 1, b.Good != [12]bool{})
		z, m := rapid.IntRange(0, len(rows)-1).Draw(rt, "zone"), rapid.IntRange(0, 11).Draw(rt, "month")
		if rows[z].Months[m] == nil || rows[z].Months[m].Days == 28 {
			return
		}
		rows[z].Months[m].Days++
		more := answer.NewBestMonths(2026, rows)
		require.False(rt, more.Poor[m] && !b.Poor[m])
		require.False(rt, b.Good[m] && !more.Good[m])
	})
}

// Runs of months hold just the months that they are made of, over the turn of the
// year too: all 4,096 of them.
func TestMonthRuns(t *testing.T) {
	for want, is := range map[string][12]bool{
		"": monthsOf(), "Jul": monthsOf(7), "Apr-Jun, Sep": monthsOf(4, 5, 6, 9), "May, Nov-Feb": monthsOf(11, 12, 1, 2, 5),
		"Jan-Feb": monthsOf(1, 2), "Dec": monthsOf(12), "all year": monthsOf(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12),
		"Feb-Dec": monthsOf(2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12), "Aug-Jun": monthsOf(1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 12),
		"Mar, Dec-Jan": monthsOf(12, 1, 3),
	} {
		assert.Equal(t, want, answer.MonthRuns(is, "-"))
	}
	number := map[string]int{}
	for m := range 12 {
		number[time.Month(m + 1).String()[:3]] = m
	}
	for bits := 1; bits < 1<<12-1; bits++ {
		var in, back [12]bool
		for m := range in {
			in[m] = bits>>m&1 == 1
		}
		words := answer.MonthRuns(in, " to ")
		for run := range strings.SplitSeq(words, ", ") {
			first, last, is := strings.Cut(run, " to ")
			if !is {
				last = first
			}
			for m := number[first]; ; m = (m + 1) % 12 {
				require.False(t, back[m], "%s twice", words)
				back[m] = true
				if m == number[last] {
					break
				}
			}
		}
		require.Equal(t, in, back, words)
	}
}

// Of several zones the days are a mean, and said to be one.
func TestBestMonths_OnAverage(t *testing.T) {
	row := answer.SeasonRow{Suits: true}
	for m := range row.Months {
		row.Months[m] = &answer.SeasonMonth{Days: 20}
	}
	poor := answer.SeasonRow{Suits: true}
	assert.Empty(t, answer.NewBestMonths(2026, []answer.SeasonRow{row, {}}).Mean, "one that takes it")
	both := answer.NewBestMonths(2026, []answer.SeasonRow{row, poor})
	assert.Equal(t, " on average", both.Mean)
	assert.InDelta(t, 10, both.Most, 1e-9)
	assert.Empty(t, answer.NewBestMonths(2026, nil).Mean)
}
