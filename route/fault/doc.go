// Package fault answers what one fault costs a circuit: for every single open
// and every wire-to-wire short, on every leg and inside every device, which
// devices and zones are lost; and where the fewest isolators must go so that no
// short costs more than is allowed.
//
// # Model
//
// A circuit is a graph. Its parts are the nodes (control unit, devices, bare
// splices) and the legs between them. Where a leg meets a node there is a port;
// an isolator, where there is one, is an ideal switch in a port.
//
// An isolator watches both of its sides. When one side is shorted it opens and
// parts that side from the other; the side that is not shorted keeps running. An
// isolator inside a device stands in every port of the device, with the device
// between them: a short on one leg opens only that port, and a short inside the
// device opens all its ports and loses the device alone. An isolator on a leg
// stands in the port where that leg meets the named node.
//
//   - Short: everything joined to it by ports without isolators is one segment
//     and is lost. What can no longer be reached from the control unit without
//     passing the segment is lost too: in a class B tree all that lies beyond,
//     in a class A or X loop nothing, since the loop is fed from both ends. A
//     segment that takes in the control unit's terminals loses the whole circuit.
//   - Open: the leg, or the node with its through connection, is gone; what is
//     then cut off from the control unit is lost. An open inside a device counts
//     the device itself as lost. Isolators do not help against opens.
//
// The control unit's own terminals are not a place of faults here. Where its
// ports isolate (Nodes[0].Isolator), they do so as a device's do.
//
// # Fewest isolators
//
// First every site is filled. A short that is then still over the limits cannot be
// cured; it is reported, and in class B the goal there becomes that its own segment
// is within the limits, which puts an isolator at the entry of each zone. Class X
// asks for more: a short on a leg loses nothing, one in a device that device only.
//
// Chains and loops are solved by dynamic programming over the cuts in order; ties
// go to zone borders, then the most even split, then the start. Trees are solved
// from the ends up, keeping the states of the open segment that no other covers.
// Isolators already drawn are kept and used. Every answer is simulated before it is
// returned; all circuits of up to four devices are held against every smaller
// placement (place_test.go).
//
// # Runs side by side
//
// [Together] is exact: a segment against the capsule around another. The rule asks
// for separate routing only; the distances are advice of its annex. Exceptions of
// the rule on zones (NFPA 72-2016 23.6.1.3) are not taken.
//
// # Not modelled
//
// Branches off a class A or X loop, how many devices an isolator can carry, its voltage thresholds
// and reset, ground faults, and two faults at once. The listing of the equipment,
// the adopted code and the authority having jurisdiction govern.
package fault
