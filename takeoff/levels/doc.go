// Package levels finds the levels that a drawing shows: by the titles of plans, each
// with the walls that stand nearest to it, one or several on a drawing.
package levels
