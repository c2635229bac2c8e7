// Package inspect says what drawings show before anybody has said what to look for:
// units, levels, legends, blocks in use, layers of walls, and what stands already or
// goes. loopwright begin drafts from it, loopwright survey prints it.
package inspect
