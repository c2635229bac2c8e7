// Package recognize finds the devices, legends, plans and levels of drawings by shape
// and place first, and by words last. Survey, begin and build all go by it.
//
// A drawing explains itself by repetition, and the only ruler is the median height
// of its texts, h: nothing rests on the name of a layer, a language or the unit.
// A figure is a block that is no container, loose linework with the letters inside,
// or a short text. Evidence adds up, strongest first: a legend's row, a block's name,
// a value of an attribute, the layer. Weak evidence (an abbreviation, a part of a name)
// needs a second sign, and each proposal names its evidence: Kind.Reason, Level.Why,
// Datum.Why, Remark. What is known to be another trade's is left out and named; what
// is not known is asked; the account closes: every figure is in it once.
//
// A legend is a column of texts with figures at one constant distance from them,
// three quarters of them different, in either space of any drawing of the job; of two
// rows under a heading, or where nothing else reads so (bare.go). A plan is a heap of
// lines longer than 4 h that no legend fills. Loose figures are compared by distances
// from their greatest part, so that turning and mirroring cost nothing. Titles are the
// largest lettering beside a plan; remarks belong to the figure at the offset that
// most remarks share; sheets of one level are laid over each other by what stands once
// on both. Package words tells what a text names and by what evidence.
package recognize
