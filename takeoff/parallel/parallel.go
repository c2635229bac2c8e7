// Package parallel does many things of one kind side by side.
package parallel

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// For calls f for 0 to n-1, in no order, as many at once as there are processors, and returns when all calls have ended.
// Results are kept by index, so that nothing depends on who is done first. A panic of f becomes the caller's, with the
// stack of where it began; calls that have not begun by then are left out.
func For(n int, f func(i int)) {
	var next atomic.Int64
	var first sync.Once
	var fault any
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		all.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					first.Do(func() { fault = fmt.Sprintf("%v\n%s", p, debug.Stack()) })
					next.Store(int64(n))
				}
			}()
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				f(int(i))
			}
		})
	}
	all.Wait()
	if fault != nil {
		panic(fault)
	}
}
