// Package levels lays the plans of levels over each other: by how much one stands away
// from another, by its grid, its shafts and its walls.
package levels
