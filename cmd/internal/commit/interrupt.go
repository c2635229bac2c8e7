package commit

import (
	"os"
	"path/filepath"
	"sync"
)

// state is what a signal handler must know. Its lock is held while files move.
var state struct {
	sync.Mutex
	wrote bool
	open  map[*Session]bool
}

func register(s *Session) {
	state.Lock()
	defer state.Unlock()
	if state.open == nil {
		state.open = map[*Session]bool{}
	}
	state.open[s] = true
}

func unregister(s *Session) {
	state.Lock()
	defer state.Unlock()
	delete(state.open, s)
}

// Abandon is for a process that is about to end on a signal: it waits until no
// files are being moved, sweeps what is staged, and reports whether a list of
// files was written whole before. Nothing can be written after it.
func Abandon() (wrote bool) {
	state.Lock() // and never unlocked: the process ends
	for s := range state.open {
		os.RemoveAll(filepath.Join(s.home, stageName))
		for _, o := range s.outside {
			os.RemoveAll(besideDir(o))
		}
		if s.created != "" {
			removeEmpty(s.home, s.created)
		}
	}
	return state.wrote
}
