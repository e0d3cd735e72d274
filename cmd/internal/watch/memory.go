package watch

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"

	"github.com/google/renameio/v2/maybe"
)

// stateFormat is the format of the file of a Memory.
const stateFormat = "dewgap.watch.state.v1"

// State is what was told of each job to each sink. The zero State is empty.
type State struct {
	Format string                     `json:"format"`
	Jobs   map[string]map[string]Told `json:"jobs"` // by file, then by the sink's name
	// Plans are those that people go by, by file.
	Plans map[string]*answer.Plan `json:"plans"`
}

func (s State) of(file, sink string) Told { return s.Jobs[file][sink] }

func (s *State) set(file, sink string, t Told) {
	if s.Jobs == nil {
		s.Jobs = map[string]map[string]Told{}
	}
	if s.Jobs[file] == nil {
		s.Jobs[file] = map[string]Told{}
	}
	s.Jobs[file][sink] = t
}

// hold remembers the plan that was told; one without blocks is none.
func (s *State) hold(file string, p *answer.Plan) {
	if s.Plans == nil {
		s.Plans = map[string]*answer.Plan{}
	}
	if p == nil || len(p.Blocks) == 0 {
		delete(s.Plans, file)
		return
	}
	s.Plans[file] = p
}

// File is a memory in a file, replaced whole whenever it changes. Jobs and sinks of
// which this run knows nothing are left as they are in it.
type File struct{ Path string }

// largestState is the size beyond which a file cannot be ours.
const largestState = 16 << 20

// Load reads the file; an empty State where there is none.
func (f File) Load() (State, error) {
	info, err := os.Stat(f.Path)
	if errors.Is(err, fs.ErrNotExist) {
		return State{}, nil
	}
	if err == nil && info.Size() > largestState {
		return State{}, fmt.Errorf("%s is too large to be what was told", f.Path)
	}
	if err != nil {
		return State{}, err
	}
	data, err := os.ReadFile(f.Path)
	if err != nil {
		return State{}, err
	}
	return parseState(data)
}

func parseState(data []byte) (State, error) {
	var s State
	if err := json.Unmarshal(data, &s); err != nil {
		return State{}, fmt.Errorf("what was told is damaged: %w", err)
	}
	if s.Format != stateFormat {
		return State{}, fmt.Errorf("what was told is of the format %q and not %s", s.Format, stateFormat)
	}
	return s, nil
}

// Save writes what is known into the file.
func (f File) Save(s State) error {
	all, err := f.Load()
	if err != nil {
		all = State{} // it was said when it was first read
	}
	all.Format = stateFormat
	for file, sinks := range s.Jobs {
		for sink, told := range sinks {
			all.set(file, sink, told)
		}
		all.hold(file, s.Plans[file])
	}
	data, err := json.MarshalIndent(all, "", " ")
	if err != nil {
		return err
	}
	if err = os.MkdirAll(filepath.Dir(f.Path), 0o700); err == nil {
		err = maybe.WriteFile(f.Path, append(data, '\n'), 0o600)
	}
	if err != nil {
		return &settings.Error{Where: f.Path, Text: err.Error(), Err: err,
			Fix: "see that there is room and that you may write there, or set " + settings.HomeEnv + " to another folder; until then each start tells all anew"}
	}
	return nil
}

// Forgetful is a memory of this run alone.
type Forgetful struct{}

// Load gives nothing.
func (Forgetful) Load() (State, error) { return State{}, nil }

// Save does nothing.
func (Forgetful) Save(State) error { return nil }
