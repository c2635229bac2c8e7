package parallel

import (
	"fmt"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
)

func TestForCallsEachOnce(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, processors := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(processors)
		for _, n := range []int{-1, 0, 1, 2, 100} {
			calls := make([]atomic.Int32, max(0, n))
			For(n, func(i int) { calls[i].Add(1) })
			for i := range calls {
				if c := calls[i].Load(); c != 1 {
					t.Errorf("%d processors: call %d of %d was made %d times", processors, i, n, c)
				}
			}
		}
	}
}

func letFall() { panic("dropped") }

// A panic is the caller's, says where it began, and comes after every call that had begun.
func TestForHandsPanicsOver(t *testing.T) {
	var running atomic.Int32
	defer func() {
		said := fmt.Sprint(recover())
		if !strings.Contains(said, "dropped") || !strings.Contains(said, "letFall") {
			t.Errorf("handed over: %s", said)
		}
		if n := running.Load(); n != 0 {
			t.Errorf("%d calls still run", n)
		}
	}()
	For(50, func(i int) {
		running.Add(1)
		defer running.Add(-1)
		if i == 3 {
			letFall()
		}
	})
	t.Error("the panic was lost")
}
