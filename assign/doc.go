// Package assign decides what hangs on which circuit and gives every device
// its address: groups before the routes are laid, numbers after. It encodes
// addresses as switches and dials, and numbers the points under them.
//
// Number takes walks: the devices of a circuit in walking order, its Addressing,
// and which addresses are held or retired. What is held stays; devices whose span
// grew come last, so that none pushes another off its address. The others get the
// lowest free run between the addresses of their neighbours, else the next one
// behind the device before, else the lowest. Order by level or room changes the
// sequence in which devices are numbered, never the walk.
package assign
