//go:build !linux && !darwin

package tags

import (
	"errors"
	"os"
)

func mapFile(*os.File, int64) ([]byte, func() error, error) {
	return nil, nil, errors.ErrUnsupported
}

func dropPages([]byte, int, int) {}
