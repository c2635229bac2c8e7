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
// Not modelled: how many devices an isolator can carry, its voltage thresholds
// and reset, ground faults, and two faults at once. The listing of the equipment,
// the adopted code and the authority having jurisdiction govern.
package fault
