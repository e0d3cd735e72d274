package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/window/job"

	"github.com/google/renameio/v2/maybe"
)

// LargestJob is the size beyond which a text cannot be a job, in bytes.
const LargestJob = 1 << 20

// openJob is a job with its answers.
type openJob struct {
	id   string
	path string       // "" for the demo
	demo *app.JobFile // nil for a file

	mu   sync.Mutex // of what is below
	seen seen
	read struct { // the text last parsed
		tag string
		job *job.Job
		err error
	}
	zone     string            // as the service told it
	kept     map[string]string // by kind of answer: what the one last kept was made from
	whys     map[string]*cell[answer.Why]
	crew     crewSeen
	save     sync.Mutex   // one writer at a time
	lastMove *answer.Move // as it is shown
	agreed   *answer.Move // the last that people go by

	week    cell[answer.Week]
	morning cell[answer.Morning]
}

// seen is a file as it was last read.
type seen struct {
	size int64
	mod  time.Time
	at   time.Time // when it was looked at
	data []byte
	tag  string
}

// racy is how long after its last change a file is read again each time, for two
// changes may bear the same date.
const racy = 2 * time.Second

// jobText is a job's text.
type jobText struct {
	data []byte
	tag  string
}

// name is the file's, without its folder.
func (j *openJob) name() string {
	if j.demo != nil {
		return j.demo.Name
	}
	return filepath.Base(j.path)
}

// file is the file as the book records it.
func (j *openJob) file(t jobText) *app.JobFile {
	if j.demo != nil {
		return j.demo
	}
	return &app.JobFile{Name: j.path, Data: t.data}
}

// text reads the file if it has changed.
func (j *openJob) text() (jobText, error) {
	if j.demo != nil {
		return jobText{j.demo.Data, TagOf(j.demo.Data)}, nil
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	info, err := os.Stat(j.path)
	now := time.Now()
	s := &j.seen
	if err == nil && s.data != nil && info.Size() == s.size && info.ModTime().Equal(s.mod) && s.at.Sub(s.mod) > racy {
		return jobText{s.data, s.tag}, nil
	}
	data, err := app.ReadFile(j.path, LargestJob)
	if err != nil {
		*s = seen{}
		return jobText{}, err
	}
	*s = seen{at: now, data: data, tag: TagOf(data)}
	if info != nil {
		s.size, s.mod = info.Size(), info.ModTime()
	}
	return jobText{s.data, s.tag}, nil
}

// stamp is the tag of the text, "" where it cannot be read.
func (j *openJob) stamp() string {
	t, err := j.text()
	if err != nil {
		return ""
	}
	return t.tag
}

// parse reads a job's text by the time zone that is known; a text is parsed once.
func (d *Desk) parse(j *openJob, t jobText) (*job.Job, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.read.tag != t.tag {
		j.read.job, j.read.err = d.parser(j, t.data)(d.cfg.Timezone)
		j.read.tag = t.tag
	}
	return j.read.job, j.read.err
}

// parser reads a text as the job's.
func (d *Desk) parser(j *openJob, data []byte) func(timezone string) (*job.Job, error) {
	return func(timezone string) (*job.Job, error) {
		return job.Parse(j.name(), data, d.cfg.Classes, job.Options{Timezone: timezone})
	}
}

// demoID is the id of the job without a file.
const demoID = "demo"

// IDs are the ids that a desk gives to job files, in their order, that of the demo
// first.
func IDs(files []string, demo bool) []string {
	var out []string
	if demo {
		out = append(out, demoID)
	}
	for _, path := range files {
		id := slug(path)
		free := id
		for n := 2; slices.Contains(out, free); n++ {
			free = fmt.Sprintf("%s-%d", id, n)
		}
		out = append(out, free)
	}
	return out
}

// slug is a file's name in small letters, digits and dashes.
func slug(path string) string {
	name := filepath.Base(path)
	name = strings.TrimSuffix(name, filepath.Ext(name))
	id := strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case 'a' <= r && r <= 'z', '0' <= r && r <= '9':
			return r
		case 'A' <= r && r <= 'Z':
			return r - 'A' + 'a'
		}
		return '-'
	}, name), "-")
	if id == "" {
		return "job"
	}
	return id
}

// base takes the folder off a file:line:column.
func base(where string) string {
	if where == "" {
		return ""
	}
	return filepath.Base(where)
}

// backups is how many earlier texts are kept beside a job's file.
const backups = 20

// keepOld puts the text that is about to be replaced beside the file, under the
// moment of its replacement, and lets go of the oldest.
func keepOld(path string, data []byte, now time.Time) error {
	stem := path + "."
	name := func() string { return stem + now.UTC().Format("20060102T150405Z") + ".bak" }
	for _, err := os.Stat(name()); err == nil; _, err = os.Stat(name()) { // saved twice within a second: both stay
		now = now.Add(time.Second)
	}
	if err := replace(name(), data, 0o600); err != nil {
		return err
	}
	old, _ := filepath.Glob(escapeGlob(stem) + "*Z.bak") // the pattern is sound
	slices.Sort(old)
	for len(old) > backups {
		_ = os.Remove(old[0]) // what stays does no harm
		old = old[1:]
	}
	return nil
}

// escapeGlob takes their meaning from the letters of a pattern.
func escapeGlob(path string) string {
	return strings.NewReplacer(`*`, `\*`, `?`, `\?`, `[`, `\[`, `\`, `\\`).Replace(path)
}

// replace writes a file whole or not at all.
func replace(path string, data []byte, perm os.FileMode) error {
	if err := maybe.WriteFile(path, data, perm); err != nil {
		return &app.Problem{Where: path, Text: "cannot be written: " + app.Bare(err), Err: err,
			Fix: "see to it that the server may write in the job file's folder"}
	}
	return nil
}
