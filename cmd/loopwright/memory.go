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
)

// boundMemory asks the collector to keep a build small: left alone it lets the
// heap grow to twice what is in use, and a job of ten thousand devices would take
// more than a laptop likes to give. GOMEMLIMIT, where set, is the user's word.
func boundMemory(j *job.Job) {
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
