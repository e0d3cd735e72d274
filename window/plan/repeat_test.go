package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// repeatsOnPaper counts the washes that have to be done once more before their films, and
// what they take in slots of one person.
func repeatsOnPaper(in *Input, blocks []Block) (n, slots int) {
	at := map[int]Block{}
	for _, x := range blocks {
		at[x.Task] = x
	}
	for _, a := range in.Repeats {
		wash, washed := at[a.Wash]
		film, filmed := at[a.Film]
		if washed && filmed && wash.To < int(a.Since[film.From]) {
			n, slots = n+1, slots+in.Tasks[a.Wash].Work
		}
	}
	return n, slots
}

// drawRain has it rain on some panels, and the last wash before their films be done again
// where it was done before that.
func drawRain(t *rapid.T, in *Input) {
	for film := 2; film < len(in.Tasks); film += 3 {
		if rapid.Bool().Draw(t, "rain") {
			since, every := make([]int32, len(in.Day)), rapid.IntRange(5, 60).Draw(t, "every")
			for i := range since {
				since[i] = int32(i - i%every)
			}
			in.Repeats = append(in.Repeats, Repeat{Wash: film - 1, Film: film, Since: since})
		}
	}
}

// rainUntil is where a wash may end at the earliest that no rain follows, by slot, where it
// rains up to one.
func rainUntil(in *Input, slot int) []int32 {
	since := make([]int32, len(in.Day))
	for i := slot; i < len(since); i++ {
		since[i] = int32(slot)
	}
	return since
}

// between is a job for one person on one day: a side to be stripped and sealed, and other
// work beside it. It rains up to a slot, and what is stripped dries for some slots.
func between(rain, dry int, strip, other, seal string) *Input {
	in := job(1, "............")
	in.add(1, strip)
	in.add(3, other).Zone = 1
	last := in.add(1, seal)
	last.Step, last.After = 2, []After{{Task: 0, Hard: dry, Go: dry}}
	in.Repeats = []Repeat{{Wash: 0, Film: 2, Since: rainUntil(in, rain)}}
	return in
}

// Rule of the trade (common practice, no source): nobody strips a panel before rain that
// falls before it is sealed. Of plans alike in all else the one is taken that keeps to it;
// it may end later by what the second wash would take, and by no more.
func TestNeat_StripsNothingBeforeRain(t *testing.T) {
	const any = "gggggggggggg"
	for _, x := range []struct {
		why                    string
		rain, dry              int
		strip, other, seal     string
		again, finish, because int // because: slots later for it
	}{
		{"the other work first", 4, 0, any, any, "rrrrrggggggg", 0, 6, 0},
		{"the seal before the rain", 5, 0, any, any, any, 0, 5, 0},
		{"a little later, for the strip takes as long", 5, 1, any, "gggrrrrrrrrr", "rrrrrggggggg", 0, 7, 1},
		{"no later than that, for it has to dry", 6, 2, any, "gggrrrrrrrrr", "rrrrrrgggggg", 1, 7, 0},
		{"no hours after the rain", 5, 0, "ggggrrrrrrrr", any, "rrrrrggggggg", 1, 6, 0},
	} {
		in := between(x.rain, x.dry, x.strip, x.other, x.seal)
		r, err := Solve(*in)
		require.NoError(t, err)
		holdRules(t, in, r)
		again, _ := repeatsOnPaper(in, r.Blocks)
		assert.Equal(t, []int{x.again, x.finish, x.because}, []int{again, r.Score.Finish, r.Later}, "%s: %+v", x.why, r.Blocks)
		in.Repeats = nil
		assert.Equal(t, solved(t, in).Score.Finish, r.Score.Finish-r.Later, "nothing else is given up for it")
	}
}

// A job that names tasks it has not, or not every slot, is refused.
func TestRepeatsAreChecked(t *testing.T) {
	for _, bad := range []func(a *Repeat){
		func(a *Repeat) { a.Wash = -1 }, func(a *Repeat) { a.Film = 3 }, func(a *Repeat) { a.Film = a.Wash }, func(a *Repeat) { a.Since = a.Since[1:] },
	} {
		in := between(4, 0, "gggggggggggg", "gggggggggggg", "gggggggggggg")
		_, err := Solve(*in)
		require.NoError(t, err)
		bad(&in.Repeats[0])
		_, err = Solve(*in)
		require.ErrorIs(t, err, ErrInput)
	}
}
