package main

import (
	"os"
	"runtime/debug"

	"loopwright/cmd/internal/job"
)

// usualMemory is what a build is to make do with, in bytes; a large drawing needs a multiple of its size.
const (
	usualMemory      = 300 << 20
	memoryPerDrawing = 6
	seldom           = 400 // percent of what is in use by which the heap grows before it is swept
)

// boundMemory asks the collector to keep a build small, and to stay out of its way
// below that: left alone it lets the heap grow to twice what is in use, which costs
// a small job a third of its time and gives a job of ten thousand devices more than
// a laptop has to spare. GOMEMLIMIT and GOGC, where set, are the user's word.
func boundMemory(j *job.Job) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(seldom)
	}
	if os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	limit := int64(usualMemory)
	for _, p := range j.Plans {
		if i, err := os.Stat(j.Resolve(p.Drawing + p.Devices)); err == nil {
			limit = max(limit, memoryPerDrawing*i.Size())
		}
	}
	debug.SetMemoryLimit(limit)
}
