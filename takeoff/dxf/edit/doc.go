// Package edit adds layers, entities and attribute values to a drawing, and takes
// them out again.
//
// A drawing belongs to somebody else, so it is edited as text editors edit text:
// the result is the original with bytes spliced in. No tag of the original is
// written anew. The one value that may change is $HANDSEED, which has to be above
// the new handles because CAD programs hand out handles from it; the old value
// is kept in our extended data, so that [Strip] gives the original back byte for
// byte.
//
// An [Outline] is all that an edit knows of a drawing, gathered in one pass that
// keeps offsets only: where records may go, the highest handle that is defined or
// referred to, the block record of model space, what layer 0 looks like, and
// every record of ours. A drawing whose tags, tables or sections are out of step
// is refused: what is not understood is not edited. Up to R12 missing tables are
// made, and noted; from R13 on a missing table is a reason to refuse.
//
// A record is ours if it carries extended data of the application [AppID]: its
// kind, its own handle, the handle of its device, and notes. A copy made in a CAD
// program carries them too and goes with the original. A layer or text style that
// somebody else's entities have come to use stays, and the next run adopts it. A
// layer or style of our name that was never ours, or that something refers to
// without its being defined, is left alone, and ours is called NAME-2.
//
// Adding strips first, so adding twice is adding once. Whatever is written should
// go through package verify before it is handed on.
package edit
