package text

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

func chunks(lines ...int) []chunk {
	var out []chunk
	for i, n := range lines {
		out = append(out, chunk{head: fmt.Sprint(i), body: strings.Repeat("x\n", n-1), days: 1})
	}
	return out
}

// Days are left out only where they take half as many lines more than there is room
// for, and then never the first nor the best.
func TestBrief(t *testing.T) {
	none := func(int) bool { return false }
	out := func(list []chunk) (left []int) {
		for i, c := range list {
			if c.out {
				left = append(left, i)
			}
		}
		return left
	}
	list := chunks(60, 60, 60)
	assert.False(t, Options{}.brief(list, true, none), "180 lines are still told")
	assert.Empty(t, out(list))
	list = chunks(60, 60, 61)
	assert.True(t, Options{}.brief(list, true, none))
	assert.Equal(t, []int{2}, out(list), "two days fill the room to the line")
	list = chunks(60, 60, 61)
	assert.True(t, Options{}.brief(list, true, func(i int) bool { return i == 2 }))
	assert.Equal(t, []int{1}, out(list), "the best day and the first")
	list = chunks(30, 30, 31)
	assert.True(t, Options{}.brief(list, false, none), "another step has half the room")
	assert.Equal(t, []int{2}, out(list))
	list = chunks(300, 1)
	assert.True(t, Options{}.brief(list, true, none))
	assert.Equal(t, []int{1}, out(list))
	list = chunks(60, 60, 61)
	assert.False(t, Options{Hours: true}.brief(list, true, none), "whoever wants every hour gets every day")

	list = chunks(1, 1, 1)
	list[1].days = 3
	assert.Equal(t, []int{0, 1, 1, 1, 2, -1, -1}, []int{chunkOf(list, 0), chunkOf(list, 1), chunkOf(list, 2), chunkOf(list, 3), chunkOf(list, 4), chunkOf(list, 5), chunkOf(list, -1)})
}

func TestLeftOutDaysAreNamed(t *testing.T) {
	p := newPage(Options{Width: 200})
	p.leftOut([]chunk{{head: "Mon"}, {head: "Tue", out: true}, {head: "Wed", last: "Thu", out: true}, {head: "Fri"}, {head: "Sat", out: true}, {head: "Sun", last: "Mon", out: true}, {head: "Tue"}, {head: "Wed", out: true}})
	assert.Contains(t, untie(p.b.String()), "Tue to Thu, Sat to Mon, Wed. With --hours or --json")
}

// A boat of very many zones is told in a few hundred lines, with its best day; all the
// days are there with --hours.
func TestWeekOfManyZonesIsShort(t *testing.T) {
	a := &answer.Week{From: at("07 00:00"), To: at("15 00:00"), Now: at("07 06:00")}
	for z := range 40 {
		name := fmt.Sprintf("zone %d", z)
		a.Zones = append(a.Zones, answer.Zone{Name: name})
		for d := range 7 {
			from := at("07 07:00").AddDate(0, 0, d).Add(time.Duration(z) * 10 * time.Minute)
			w := answer.Window{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: name, State: "go", From: from, To: from.Add(3*time.Hour + time.Duration(d)*10*time.Minute), LastStart: from.Add(2 * time.Hour), Rank: 1 + d*40 + z}
			if d == 4 {
				w.Rank -= 1000 // the best day is a later one
			}
			a.Windows = append(a.Windows, w)
		}
	}
	screen := func(o Options) string {
		var b bytes.Buffer
		require.NoError(t, Week(&b, a, o))
		return untie(b.String())
	}
	short := screen(Options{Width: 80})
	assert.Less(t, strings.Count(short, "\n"), 300)
	assert.Contains(t, short, "Left out, for so many zones take many lines: ")
	days := short[strings.Index(short, "By day"):]
	for day, told := range map[string]bool{"\n  Mon 7 Sep\n": true, "\n  Fri 11 Sep\n": true, "\n  Sun 13 Sep\n": false} {
		assert.Equal(t, told, strings.Contains(days, day), day)
	}
	assert.NotContains(t, short, "all among the days below")
	full := screen(Options{Width: 80, Hours: true})
	for d := range 7 {
		assert.Contains(t, full, "\n  "+untie(day(at("07 07:00").AddDate(0, 0, d)))+"\n")
	}
	assert.NotContains(t, full, "Left out")
}
