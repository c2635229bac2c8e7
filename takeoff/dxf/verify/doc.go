// Package verify holds an edited drawing against its original.
//
// Readers let almost every mistake in a DXF file pass, and CAD programs refuse
// the file. So [Check] walks original and result side by side, record by record,
// and holds every new record against a table of layouts that was written after
// the published DXF reference, not after the code that writes the records. A new
// kind of entity needs a row in layouts, and each way to get it wrong a row in the
// test that damages drawings.
package verify
