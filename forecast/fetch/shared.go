package fetch

import "sync"

// Shared are notes that all runs of the program on this computer have in
// common: when a host may next be asked, and which service is in trouble. Only
// cmd knows where they are. Implementations must be safe for use by several
// goroutines and processes, and must outlive a process that dies in the middle.
type Shared interface {
	// Update gives change what is noted under name, nil if nothing is, and notes
	// what it gives back in its place; nil takes the note away. Nobody else reads
	// or writes the note in between. change is called once, or not at all where
	// the error says so.
	Update(name string, change func(old []byte) []byte) error
}

// own are notes of this client alone, for those that are given none to share.
type own struct {
	mu    sync.Mutex
	notes map[string][]byte
}

func (o *own) Update(name string, change func(old []byte) []byte) error {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.notes == nil {
		o.notes = map[string][]byte{}
	}
	if fresh := change(o.notes[name]); fresh != nil {
		o.notes[name] = fresh
	} else {
		delete(o.notes, name)
	}
	return nil
}
