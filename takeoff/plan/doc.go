// Package plan lists what stands on one drawing, read once however many levels it
// shows: inserts with the boxes of their symbols, texts and linework, the walls,
// the swings of doors, and how large it all is. A Part is what somebody asks about.
package plan
