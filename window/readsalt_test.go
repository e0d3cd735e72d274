package window_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// The latest salt counts until a wash, on every zone that spray reaches.
func TestReadings_Salt(t *testing.T) {
	f, now := quay()
	seal := func() *job.Job {
		j := smallJob(t, "polymer-sealant")
		z := j.Zones[0]
		z.Name, z.Shelter = "helm", boat.Shed
		j.Zones = append(j.Zones, z)
		j.Steps[0].On = []int{0, 1}
		return j
	}
	noon := now.Truncate(24 * time.Hour).Add(16 * time.Hour)
	salt := job.Reading{At: now.Add(-time.Minute), Salt: job.Yes}
	r := with(t, f, seal(), now, salt)
	s, l := stateAt(r, 0, noon)
	assert.Equal(t, [2]any{verdict.NoGo, verdict.Salt}, [2]any{s, l})
	_, l = stateAt(r, 1, noon)
	assert.NotEqual(t, verdict.Salt, l, "the shed keeps spray out")
	assert.Equal(t, []int{0}, r.Salted)
	assert.True(t, use(t, r, window.ReadSalt).Used)
	words := strings.Join(r.Warnings, "\n")
	assert.Contains(t, words, "salt was read on port side: put a flood rinse and a wash before any pad")
	assert.Contains(t, words, "no step of the job is left that washes the salt off port side")

	for name, c := range map[string]struct {
		change func(*job.Job)
		read   []job.Reading
		salty  bool
	}{
		"spray alike":           {nil, []job.Reading{{At: now, Spray: job.Yes}}, true},
		"fresh water":           {func(j *job.Job) { j.Place.WaterKind = "fresh" }, []job.Reading{{At: now, Spray: job.Yes}}, false},
		"taken back":            {nil, []job.Reading{salt, {At: now, Salt: job.No}}, false},
		"in the wrong order":    {nil, []job.Reading{{At: now, Salt: job.No}, salt}, false},
		"then spray":            {nil, []job.Reading{{At: now.Add(-time.Hour), Salt: job.No}, {At: now, Spray: job.Yes}}, true},
		"no spray is no word":   {nil, []job.Reading{salt, {At: now, Spray: job.No}}, true},
		"another zone":          {nil, []job.Reading{{At: now, Zone: "helm", Salt: job.Yes}}, false},
		"this zone":             {nil, []job.Reading{{At: now, Zone: "port side", Salt: job.Yes}}, true},
		"two days old":          {nil, []job.Reading{{At: now.Add(-49 * time.Hour), Salt: job.Yes}}, false},
		"hardtop, sides open":   {func(j *job.Job) { j.Zones[0].Shelter = boat.Hardtop }, []job.Reading{salt}, true},
		"washed since":          {func(j *job.Job) { j.Zones[0].Done = done("wash", now) }, []job.Reading{salt}, false},
		"washed before":         {func(j *job.Job) { j.Zones[0].Done = done("wash", now.Add(-time.Hour)) }, []job.Reading{salt}, true},
		"the job's own":         {func(j *job.Job) { j.Zones[0].Salt = true }, []job.Reading{{At: now, Salt: job.No}}, true},
		"the job's, by name":    {func(j *job.Job) { j.Zones[0].Salt = true }, []job.Reading{{At: now, Zone: "port side", Salt: job.No}}, false},
		"a wash to come":        {washFirst(nil), []job.Reading{salt}, false},
		"a wash that is over":   {washFirst(done("wash", now.Add(-time.Hour))), []job.Reading{salt}, true},
		"a wash done since":     {washFirst(done("wash", now)), []job.Reading{salt}, false},
		"a named wash, over":    {namedWash(done("wash", now.Add(-time.Hour))), []job.Reading{salt}, true},
		"a named wash, since":   {namedWash(done("wash", now)), []job.Reading{salt}, false},
		"a named wash, by name": {namedWash(done("rinse down", now.Add(-time.Hour))), []job.Reading{salt}, true},
		"a wash done in parts":  {washFirst(map[string]boat.Done{"wash": {At: now.Add(-time.Hour), Share: 0.5}}), []job.Reading{salt}, false},
	} {
		j := seal()
		if c.change != nil {
			c.change(j)
		}
		r := with(t, f, j, now, c.read...)
		_, l := stateAt(r, len(r.Rows)-2, noon)
		assert.Equal(t, c.salty, l == verdict.Salt, name)
	}
	j := seal()
	with(t, f, j, now, salt)
	assert.False(t, j.Zones[0].Salt, "the job handed in is only read")
}

func done(do string, at time.Time) map[string]boat.Done {
	return map[string]boat.Done{do: {At: at, Share: 1}}
}

// washFirst puts a wash before the job's steps, done as given.
func washFirst(d map[string]boat.Done) func(*job.Job) {
	return func(j *job.Job) {
		j.Steps = append([]job.Step{{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0, 1}}}, j.Steps...)
		j.Zones[0].Done = d
	}
}

// namedWash is washFirst with a wash that has a name of its own.
func namedWash(d map[string]boat.Done) func(*job.Job) {
	return func(j *job.Job) {
		washFirst(d)(j)
		j.Steps[0].Name = "rinse down"
	}
}
