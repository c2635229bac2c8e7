// Package inspect says what drawings show before anybody has said what to look for:
// units, levels, layers of walls, parts that are no plans, and what package recognize
// finds on them. loopwright begin drafts from it, loopwright survey prints it.
package inspect
