// Package recognize finds the devices, legends, plans and levels of drawings by shape
// and place first, and by words last.
//
// A drawing explains itself by repetition, and the only ruler is the median height
// of its texts, h: nothing rests on the name of a layer, a language or the unit.
// A figure is a block that is no container, loose linework with the
// letters inside, or a short text. A legend is a column of texts with figures at one
// constant distance from them, three quarters of them different, in either space of
// any drawing of the job. A plan is a heap of lines longer than 4 h that no legend
// fills. A device is a figure in a plan that equals a legend's, whose text names a
// device; without such a row, a block whose name does.
//
// Package words tells what a text names and by what evidence; weak evidence needs a
// second sign. Loose figures are compared by distances from their greatest part, so
// that turning and mirroring cost nothing. Titles are the largest lettering beside a
// plan; remarks belong to the figure at the offset that most remarks share; sheets of
// one level are laid over each other by what stands once on both. What is known to be
// another trade's is left out and named; what is not known is asked.
package recognize
