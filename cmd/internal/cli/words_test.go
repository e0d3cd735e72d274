package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The demo shows its one forecast, asks nobody, and says of each service why not.
func TestSourcesOfTheDemo(t *testing.T) {
	r := newRun(t)
	r.do("sources", "--demo", "--json")
	require.Equal(t, CodeDone, r.code, r.err.String())
	var a answer.Sources
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &a))
	require.Len(t, a.Services, 5)
	assert.True(t, a.Services[0].Usable)
	assert.Equal(t, "demo, invented weather", a.Services[0].Source.Name)
	assert.Equal(t, "dewgap week --demo", a.Services[0].Command)
	for _, s := range a.Services[1:] {
		assert.False(t, s.Usable)
		assert.Equal(t, "the demo asks no service", s.Why)
		assert.NotEmpty(t, s.Fix)
	}
	require.NotEmpty(t, a.Steps)
	require.NotEmpty(t, a.Days)
	for _, d := range a.Days {
		assert.Empty(t, d.Differ, "one forecast differs from nothing")
	}
	r.do("sources", "--demo")
	assert.Contains(t, r.out.String(), "Only demo could be used: there is nothing to hold it against.")
	assert.Contains(t, r.out.String(), "nws: the demo asks no service.")
}

// A saved plan that is none is told with its line and column.
func TestNoPlanInAFile(t *testing.T) {
	for name, c := range map[string]struct{ data, where, says string }{
		"yaml":             {"# a job\njob: x\n", "p.json:1:1", "this is no JSON"},
		"cut":              {"{\"format\": \"dewgap.week.v1\",\n \"plan\": {\"blocks\": [", "p.json:2:21", "this is no JSON"},
		"empty":            {"", "p.json:1:1", "this is no JSON"},
		"a slip":           {"{\n  \"plan\": nul\n}", "p.json:2:14", "this is no JSON"},
		"a word for plan":  {"{\"plan\": \"none\"}", "p.json:1:15", "a plan has no string here"},
		"a list":           {"[]", "p.json:1:1", "a plan has no array here"},
		"no plan":          {"{}", "p.json", "holds no plan"},
		"none":             {`{"format":"dewgap.week.v1","plan":{"state":"none","blocks":[]}}`, "p.json", "that answer found none"},
		"another answer":   {`{"format":"dewgap.why.v1"}`, "p.json", "which has no plan of a job"},
		"a block too few":  {`{"blocks":[{"step":"seal"}]}`, "p.json", "block 1 of the plan lacks"},
		"a block of words": {`{"blocks":[{"step":7}]}`, "p.json:1:20", "a plan has no number here"},
		"wide letters":     {"{\"name\": \"船船\", x}", "p.json:1:16", "this is no JSON"},
	} {
		_, err := parsePlan("p.json", []byte(c.data))
		f := app.Failures(err)[0]
		assert.Equal(t, c.where, f.Where, name)
		assert.Contains(t, f.Error, c.says, name)
		assert.Contains(t, f.Fix, "dewgap week --json", name)
	}
	plan, err := parsePlan("p.json", []byte(`{"blocks":[{"step":"seal","zone":"helm","from":"2026-09-10T09:00:00Z","to":"2026-09-10T10:00:00Z"}]}`))
	require.NoError(t, err)
	assert.Len(t, plan.Blocks, 1, "a plan alone")
}

// Without a plan the demo says how to come by one, and what it says works.
func TestMoveOfTheDemo(t *testing.T) {
	r := newRun(t)
	r.do("move", "--demo")
	assert.Equal(t, CodeUsage, r.code)
	assert.Contains(t, r.err.String(), "dewgap week --demo --json > week.json")
	r.do("week", "--demo", "--json")
	file := filepath.Join(t.TempDir(), "week.json")
	require.NoError(t, os.WriteFile(file, r.out.Bytes(), 0o600))
	r.do("move", "--demo", "--plan", file)
	assert.Equal(t, CodeDone, r.code, r.err.String())
	r.do("move", "--job", sideJobFile(t), "--no-book")
	assert.Contains(t, r.err.String(), "dewgap book init")
}

// What is wrong with a reading's flags is said of the flags, not of the keys of a
// file that nobody wrote.
func TestReadingsAreToldByFlag(t *testing.T) {
	r := newRun(t)
	file := sideJobFile(t)
	for line, want := range map[string]struct {
		code int
		says string
	}{
		"":                          {CodeUsage, "nothing was read here"},
		"--zone=port+side":          {CodeUsage, "nothing was read here"},
		"--by=contact":              {CodeUsage, "--by tells how a surface was read"},
		"--surface=9C":              {CodeUsage, "--surface needs --by"},
		"--wet":                     {CodeUsage, "belong to a zone"},
		"--humidity=140":            {CodeFailed, "--humidity 140 is out of range"},
		"--air=99C":                 {CodeFailed, "--air 99C is out of range\n   fix: give --air -40C to 60C; "},
		"--air=150F":                {CodeFailed, "--air 150F is out of range\n   fix: give --air -40F to 140F; "},
		"--wind=61":                 {CodeFailed, "--wind 61 is out of range\n   fix: give --wind 0 to 60, in metres per second; "},
		"--wind=140mph":             {CodeFailed, "--wind 140mph is out of range\n   fix: give --wind 0mph to 134mph; "},
		"--wind=117kn":              {CodeFailed, "--wind 117kn is out of range\n   fix: give --wind 0kn to 116kn; "},
		"--air=12":                  {CodeUsage, "--air 12 cannot be read"},
		"--salt=perhaps":            {CodeUsage, "--salt"},
		"--sky=claer":               {CodeUsage, "--sky claer is not known"},
		"--wet --zone=mast":         {CodeFailed, "unknown zone `mast`"},
		"--wet --dry":               {CodeUsage, "exclude one another"},
		"--air=9C --at=noon":        {CodeUsage, "--at"},
		"--air=9C --now=noon":       {CodeUsage, "--now"},
		"--air=9C --corrects=-1":    {CodeUsage, "--corrects"},
		"--air=9C --to=x --book=y":  {CodeUsage, "exclude one another"},
		"--haze-min=9 --zone=mast":  {CodeUsage, "--haze-min and --product go together"},
		"--air=9C --corrects=1":     {CodeFailed, "number 1"},
		"--moisture=5 --zone=stern": {CodeFailed, "unknown zone `stern`"},
	} {
		args := append([]string{"reading", "add", "--job", file}, strings.Fields(line)...)
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "+", " ")
		}
		r.do(args...)
		assert.Equal(t, want.code, r.code, line)
		assert.Contains(t, r.err.String(), want.says, line)
		assert.Contains(t, r.err.String(), "   fix: ", line)
		assert.NotContains(t, r.err.String(), "_c`", line)
		assert.NotContains(t, r.err.String(), "_pct`", line)
		assert.Empty(t, r.out.String(), line)
	}
}

// Whatever is wrong with the flags of any command, the answer says what to do.
func TestEveryRefusalSaysWhatToDo(t *testing.T) {
	r := newRun(t)
	file := sideJobFile(t)
	for _, line := range []string{
		"week", "week --demo --job x", "week --at 1,2", "week --kind catamaran", "week --demo --fetched x", "week --demo --source nws", "week --job x --source almanac",
		"week --demo --timezone Local", "week --demo --units si", "week --demo --book a --no-book", "week --at 91,0 --kind catamaran --length 11m",
		"week --at 43,-70 --kind catamaran --length 11furlongs", "week --at 43,-70 --kind catamaran --length 900m", "week --at 43,-70 --kind catamaran --length 11m --bow up",
		"week --at 43,-70 --kind catamaran --length 11m --seal wax", "morning", "morning --demo --readings none.yaml", "move --demo --rain 11:40", "move --demo --left wash",
		"move --demo --rain 11:40/12:30/wet", "move --demo --rain 12:30/11:40", "note owner --demo --rain 11:40/12:30", "season", "season --demo --weather x", "season --demo --all --with soap-wash",
		"season --demo --width 400", "season --demo --with wax", "why --demo", "why --demo --zone bridge --with polymer-sealant", "why --demo --zone foredeck --with wax",
		"why --demo --zone foredeck --with polymer-sealant --at noon", "sources", "sources --demo --source nws", "sources --at 1,2", "products wax", "products --units si", "check", "check a b", "check none.yaml",
		"new", "new x.yaml", "new x.yaml --kind boat --length 11m", "new x.yaml --kind catamaran --length 11", "new x.yaml --kind catamaran --length 11m --at here", "new x.yaml --kind catamaran --length 11m --from monday",
		"new x.yaml --kind catamaran --length 11m --from 2026-09-10 --by 2026-09-01", "new x.yaml --kind catamaran --length 11m --timezone Mars/Olympus", "log done", "log done --job x --step wash --zone a --share 2",
		"log rain --job x", "log rain --job x --from 11:00 --mm -1", "log outcome --job x --step a --zone b --found fine", "log undo", "log undo --done 1 --reading 2", "log undo --done 1", "log undo --done -1",
		"log done --demo --step wash --zone foredeck", "log done --job " + file + " --step wsh --zone foredeck", "book show 1", "book show x", "book show 1 2", "book import none.json", "book backup", "place show", "score --units si",
		"watch", "watch --demo", "watch --job " + file + " --every 1s", "watch --job " + file + " --once --webhook ftp://x", "week --demo --settings none.yaml", "version extra", "where extra",
	} {
		r.do(strings.Fields(line)...)
		assert.Contains(t, []int{CodeUsage, CodeFailed}, r.code, line)
		assert.Empty(t, r.out.String(), line)
		lines := strings.Split(strings.TrimRight(r.err.String(), "\n"), "\n")
		assert.Len(t, lines, 2, "%s: %s", line, r.err.String())
		assert.True(t, strings.HasPrefix(lines[0], "dewgap: "), line)
		assert.True(t, strings.HasPrefix(lines[len(lines)-1], "   fix: "), "%s: %s", line, r.err.String())
		assert.LessOrEqual(t, strings.Count(lines[0], ": "), 4, "no stack of causes: %s", lines[0])

		r.do(append(strings.Fields(line), "--json")...)
		var f answer.Failure
		if err := json.Unmarshal(r.err.Bytes(), &f); assert.NoError(t, err, line) {
			assert.NotEmpty(t, f.Error, line)
			assert.NotEmpty(t, f.Fix, line)
		}
	}
}
