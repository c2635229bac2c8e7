// Package tags reads the tags of a DXF file: pairs of a group code and a value,
// in text or in binary.
//
// A [Source] holds the bytes of one file, mapped into memory where that pays, and
// never changes them. A [Tag] is four offsets into them; a value is decoded only
// when it is asked for, with the code page that the file names or, from R2007 on,
// as UTF-8. An [Encoder] goes the other way.
//
// An [Index] lists where records start and what they are, one word each. Files
// are cut into chunks that are indexed side by side. Each chunk starts at the
// first place that looks like a record, and counts only if the chunk before it
// ends exactly there; otherwise it is read again from there. So the index is that
// of one walk, whatever the guess was.
//
// A line that should be a group code and is not is a [Fault]. Reading resumes at
// the next line "0" that is followed by a word and a group code, so damage costs
// the records around it and no more.
//
// Group codes and their meaning follow the published DXF reference; where a
// comment says "DXF reference, X" it means the section of that name.
package tags
