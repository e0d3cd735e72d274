package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/demo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// dock is a folder with all that a person has on the dock: a job, a saved reply, and
// files that are none of it.
type dock struct {
	*run
	dir string
}

func newDock(t *testing.T) *dock {
	t.Helper()
	d := &dock{newRun(t), t.TempDir()}
	t.Chdir(d.dir)
	d.write(t, "job.yaml", []byte(sideJob))
	reply, err := demo.Reply(d.env.Now())
	require.NoError(t, err)
	d.write(t, "reply.json", reply)
	return d
}

func (d *dock) write(t *testing.T, name string, data []byte) {
	t.Helper()
	require.NoError(t, os.WriteFile(name, data, 0o600))
}

// tree is every file of the folder with what is in it.
func (d *dock) tree(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, filepath.WalkDir(d.dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() || !e.Type().IsRegular() || e.Name() == "heap" {
			out[path] = ""
			return err
		}
		data, err := os.ReadFile(path)
		out[path] = string(data)
		return err
	}))
	return out
}

// spoiltFiles are the ways in which a file that was named is not what was meant, each
// with a word that its error has. Nobody is sent to look for a wrong line in a folder.
func spoiltFiles(t *testing.T) map[string]struct{ name, says string } {
	t.Helper()
	require.NoError(t, os.Mkdir("shelf", 0o700))
	require.NoError(t, os.WriteFile("picture.bin", []byte("\x89PNG\r\n\x1a\n\x00\x00\xff\xfe"), 0o600))
	require.NoError(t, os.WriteFile("heap", nil, 0o600))
	require.NoError(t, os.Truncate("heap", 65<<20))
	out := map[string]struct{ name, says string }{
		"not there":         {"nowhere", "no such file"},
		"a folder":          {"shelf", "is a folder"},
		"a file on the way": {"picture.bin/job", "cannot be read"},
		"a picture":         {"picture.bin", ""},
		"too large":         {"heap", "is larger than"},
	}
	if os.Getuid() != 0 { // who is root reads everything
		require.NoError(t, os.WriteFile("locked", []byte("x"), 0o000))
		out["locked"] = struct{ name, says string }{"locked", "permission denied"}
	}
	return out
}

// Whatever file is named in whatever command, what is wrong with it is told of it by its
// name, once, with what to do; nothing is answered, made or changed.
func TestBadFiles_EveryCommandThatReadsOne(t *testing.T) {
	d := newDock(t)
	spoilt := spoiltFiles(t)
	before := d.tree(t)
	const asked = " --job job.yaml --forecast reply.json"
	for _, line := range []string{
		// FILE is the one that is spoilt.
		"check FILE", "week --forecast reply.json --job FILE", "morning --forecast reply.json --job FILE", "why --zone a --with soap-wash --forecast reply.json --job FILE",
		"note owner --forecast reply.json --job FILE", "note crew --forecast reply.json --job FILE",
		"draw week --forecast reply.json --table --job FILE", "draw day --forecast reply.json --table --job FILE", "calendar --forecast reply.json -o plan.ics --job FILE",
		"sources --source nws --job FILE",
		"log done --step seal --zone a --book FILE.sqlite --job FILE", "log rain --from 05:00 --job FILE", "log outcome --step seal --zone a --found ok --job FILE",
		"reading add --air 12C --job FILE", "reading add --air 12C --to readings.yaml --job FILE",
		"week --job job.yaml --forecast FILE", "morning --job job.yaml --forecast FILE", "why --zone port+side --with soap-wash --job job.yaml --forecast FILE",
		"note crew --job job.yaml --forecast FILE", "draw boat --job job.yaml --table --forecast FILE", "calendar --job job.yaml --forecast FILE",
		"week --at 43.07,-70.74 --kind catamaran --length 11m --forecast FILE",
		"week" + asked + " --products FILE", "check job.yaml --products FILE", "products --products FILE", "season --demo --products FILE", "log rain --job job.yaml --from 05:00 --products FILE",
		"week" + asked + " --settings FILE", "products --settings FILE", "where --settings FILE", "book show --settings FILE", "check job.yaml --settings FILE", "log undo --done 1 --settings FILE",
		"score --settings FILE", "watch --demo --once --settings FILE", "draw week --demo --table --settings FILE",
		"morning" + asked + " --readings FILE", "move" + asked + " --plan FILE", "note owner --move" + asked + " --plan FILE",
		"season --job job.yaml --weather FILE", "book import FILE --book other.sqlite",
	} {
		for how, x := range spoilt {
			args := strings.Fields(strings.ReplaceAll(strings.ReplaceAll(line, "FILE.sqlite", "other.sqlite"), "FILE", x.name))
			for i := range args {
				args[i] = strings.ReplaceAll(args[i], "+", " ")
			}
			if strings.Contains(line, "book import") && how == "too large" {
				continue // an import may be of any size
			}
			d.do(append(args, "--json")...)
			var f answer.Failure
			require.NoError(t, json.Unmarshal(d.err.Bytes(), &f), "%v: %s", args, d.err.String())
			require.Equal(t, CodeFailed, d.code, "%v, %s: %s", args, how, d.err.String())
			assert.Empty(t, d.out.String(), args)
			assert.True(t, strings.HasPrefix(f.Where, x.name), "%v, %s: told of %q, not of %q: %s", args, how, f.Where, x.name, f.Error)
			assert.NotEmpty(t, f.Fix, args)
			if how == "too large" || !strings.Contains(line, "--settings") && !strings.Contains(line, "--products") { // which have words of their own
				assert.Contains(t, f.Error, x.says, "%v, %s", args, how)
			}
			assert.NotContains(t, f.Error, x.name, "%v: its name is told once, as the place: %s", args, f.Error)
		}
	}
	after := d.tree(t)
	delete(after, filepath.Join(d.dir, "other.sqlite")) // which an import makes first
	for _, end := range []string{"-wal", "-shm"} {
		delete(after, filepath.Join(d.dir, "other.sqlite"+end))
	}
	assert.Equal(t, before, after, "nothing was made or changed")
}

// A file that is to be written and cannot be: told by its name, in plain words, and what
// stood there stands.
func TestBadFiles_EveryCommandThatWritesOne(t *testing.T) {
	d := newDock(t)
	require.NoError(t, os.Mkdir("folder.svg", 0o700))
	d.write(t, "file", []byte("mine"))
	before := d.tree(t)
	const boat = " --kind catamaran --length 11m"
	for line, says := range map[string]string{
		"draw week --demo -o folder.svg":                   "is a folder",
		"draw day --demo -o file/x.svg":                    "cannot be written",
		"draw boat --demo -o none/x.svg":                   "cannot be written",
		"season --demo -o folder.svg":                      "is a folder",
		"season --demo -o none/x.svg":                      "cannot be written",
		"calendar --demo -o folder.svg":                    "is a folder",
		"calendar --demo -o none/plan.ics":                 "cannot be written",
		"new file" + boat:                                  "is there already",
		"new folder.svg --force" + boat:                    "is a folder",
		"new none/job.yaml" + boat:                         "cannot be written",
		"new file/job.yaml --force" + boat:                 "cannot be written",
		"reading add --demo --air 12C --to folder.svg":     "is a folder",
		"reading add --demo --air 12C --to none/read.yaml": "cannot be written",
		"reading add --demo --air 12C --to file":           "",
	} {
		got := refused(t, d.run, CodeFailed, strings.Fields(line)...)
		assert.Contains(t, got.Error, says, line)
		assert.NotContains(t, got.Error, "rename", "no word of the file that would have taken its place: %s", got.Error)
		words := strings.Fields(line)
		named := false
		for _, w := range words {
			named = named || strings.Contains(w, ".") && strings.HasPrefix(got.Error, w+":") || strings.HasPrefix(got.Error, "file:")
		}
		assert.True(t, named, "%s: %s", line, got.Error)
	}
	assert.Equal(t, before, d.tree(t))
}

// A book that is none, and one in a place that holds none, is told with what to do; the
// file is as it was.
func TestBadFiles_NoBook(t *testing.T) {
	d := newDock(t)
	require.NoError(t, os.Mkdir("folder", 0o700))
	before := d.tree(t)
	const asked = " --job job.yaml --forecast reply.json"
	for _, book := range []string{"folder", "job.yaml", "reply.json"} {
		for _, line := range []string{
			"week" + asked, "morning" + asked, "move" + asked, "why --zone port_side --with soap-wash" + asked, "note owner" + asked, "calendar" + asked, "place show" + asked,
			"log rain --job job.yaml --from 05:00", "log undo --done 1", "reading add --job job.yaml --air 12C", "book show", "book export", "book backup copy.sqlite", "score",
			"book init",
		} {
			d.do(append(strings.Fields(strings.ReplaceAll(line, "port_side", "port")), "--book", book)...)
			told := d.err.String()
			assert.Empty(t, d.out.String(), line)
			assert.Equal(t, CodeFailed, d.code, "%s --book %s: %s", line, book, told)
			assert.Contains(t, told, filepath.Join(d.dir, book)+": ", line)
			assert.Contains(t, told, "fix: ", line)
			assert.NotContains(t, told, "SQLITE", line)
			assert.NotContains(t, told, "sql:", line)
		}
	}
	assert.Equal(t, before, d.tree(t))
}

// What an import cannot take is told with the file, its line and what to do; the book has
// nothing of it.
func TestBadFiles_Import(t *testing.T) {
	d := newDock(t)
	require.Equal(t, CodeDone, d.do("book", "init", "--book", "b.sqlite").code)
	d.do("book", "export", "--json", "--book", "b.sqlite")
	require.Equal(t, CodeDone, d.code)
	whole := d.out.String()
	for name, text := range map[string]string{
		"empty": "", "not JSON": "rain at noon", "something else": `{"format":"dewgap.week.v1"}`, "a list": "[]",
		"cut short": whole[:len(whole)/2],
	} {
		d.write(t, "in.json", []byte(text))
		got := refused(t, d.run, CodeFailed, "book", "import", "in.json", "--book", "b.sqlite")
		assert.True(t, strings.HasPrefix(got.Error, "in.json: "), "%s: %s", name, got.Error)
	}
	d.write(t, "in.json", []byte(whole))
	assert.Equal(t, CodeDone, d.do("book", "import", "in.json", "--book", "b.sqlite").code, d.err.String())
	d.do("book", "export", "--json", "--book", "b.sqlite")
	assert.Equal(t, whole, d.out.String())
}

// YAML as editors of all systems write it is read: with a mark at its head, with the line
// ends of another system, without a last line end, from a pipe.
func TestBadFiles_AnyEditorsYAML(t *testing.T) {
	d := newDock(t)
	plain := d.do("week", "--job", "job.yaml", "--forecast", "reply.json", "--no-book", "--json").out.String()
	require.NotEmpty(t, plain)
	for name, text := range map[string]string{
		"a byte order mark":   "\ufeff" + sideJob,
		"other line ends":     strings.ReplaceAll(sideJob, "\n", "\r\n"),
		"no last line end":    strings.TrimRight(sideJob, "\n"),
		"blank lines behind":  sideJob + "\n\n\n",
		"a comment before":    "# mine\n" + sideJob,
		"a document mark":     "---\n" + sideJob,
		"one at the end, too": sideJob + "...\n",
	} {
		d.write(t, "job.yaml", []byte(text))
		d.do("check", "job.yaml")
		require.Equal(t, CodeDone, d.code, "%s: %s", name, d.err.String())
		assert.Equal(t, plain, d.do("week", "--job", "job.yaml", "--forecast", "reply.json", "--no-book", "--json").out.String(), name)
	}
}
