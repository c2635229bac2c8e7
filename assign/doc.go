// Package assign decides what hangs on which circuit and gives every device
// its address: groups before the routes are laid, numbers after. It encodes
// addresses as switches and dials, and numbers the points under them.
package assign
