package commit

import (
	"os"
	"path/filepath"
	"sync"
)

// state is what a signal handler must know. Its lock is held while files move,
// and by whoever makes what a handler would have to take away.
var state struct {
	sync.Mutex
	wrote bool
	open  map[*Session]bool
}

// register makes the session's folder, and known to a signal handler.
func (s *Session) register() error {
	state.Lock()
	defer state.Unlock()
	if state.open == nil {
		state.open = map[*Session]bool{}
	}
	state.open[s] = true
	if err := mkdirAll(s.home); err != nil {
		return plain("make the folder", s.home, err)
	}
	return nil
}

// holds adds a lock to the session.
func (s *Session) holds(release func()) {
	state.Lock()
	defer state.Unlock()
	s.release = append(s.release, release)
}

// letGo ends the session. The lock of state is held.
func (s *Session) letGo() {
	delete(state.open, s)
	if s.created != "" {
		removeEmpty(s.home, s.created)
	}
	for _, r := range s.release {
		r()
	}
	s.release = nil
}

// Wrote reports whether this process has written a list of files.
func Wrote() bool {
	state.Lock()
	defer state.Unlock()
	return state.wrote
}

// Abandon is for a process that is about to end on a signal: it waits until no
// files are being moved, sweeps what is staged, and reports whether a list of
// files was written whole before. Nothing can be written after it.
func Abandon() (wrote bool) {
	state.Lock() // and never unlocked: the process ends
	for s := range state.open {
		sweepHard(filepath.Join(s.home, stageName))
		for _, o := range s.outside {
			sweepHard(besideDir(o))
		}
		s.letGo()
	}
	return state.wrote
}

// sweepHard removes a stage into which somebody is still writing: once it is
// gone there is nowhere to write.
func sweepHard(dir string) {
	for range 20 {
		if os.RemoveAll(dir) == nil && !exists(dir) {
			return
		}
	}
}
