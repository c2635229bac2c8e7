package fault

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/route/circuit"
)

// sketch reads a circuit drawn as text. Nodes are numbered as they are written,
// legs too:
//
//	P        the control unit; it closes a loop where it stands at the end
//	a b ...  a device in zone a, b ...
//	+        a bare splice
//	[x]      x with an isolator inside; [P]: the control unit's ports isolate
//	x*       faults at x are protected
//	-        a leg; = a protected leg; | on either side: an isolator on the leg beside that node
//	( ... )  a branch off the node before it
func sketch(t testing.TB, class circuit.Class, text string) Circuit {
	t.Helper()
	c := Circuit{Class: class}
	var stack []int
	last, leg := -1, Leg{}
	for _, w := range strings.Fields(text) {
		switch {
		case w == "(":
			stack = append(stack, last)
		case w == ")":
			last, stack = stack[len(stack)-1], stack[:len(stack)-1]
		case strings.ContainsAny(w, "-="):
			leg = Leg{Ends: circuit.Ends{From: last}, atFrom: w[0] == '|', atTo: w[len(w)-1] == '|', protected: strings.Contains(w, "=")}
		default:
			if strings.Trim(w, "[]") == "P" && last >= 0 {
				leg.To = 0
				c.Legs = append(c.Legs, leg)
				continue
			}
			name := strings.Trim(w, "[]*")
			n := Node{Isolator: w[0] == '[', Protected: strings.HasSuffix(w, "*")}
			if name != "P" && name != "+" {
				n.Device, n.Zone = true, name
			}
			if last >= 0 {
				leg.To = len(c.Nodes)
				c.Legs = append(c.Legs, leg)
			}
			last = len(c.Nodes)
			c.Nodes = append(c.Nodes, n)
		}
	}
	return c
}

func parseFault(t testing.TB, s string) Fault {
	t.Helper()
	var kind, place string
	var i int
	if n, err := fmt.Sscanf(s, "%s %s %d", &kind, &place, &i); n != 3 || err != nil {
		t.Fatalf("fault %q: %v", s, err)
	}
	k := Open
	if kind == "short" {
		k = Short
	}
	if place == "leg" {
		return onLeg(k, i)
	}
	return atNode(k, i)
}

func nodesText(nodes []int) string { return strings.Trim(fmt.Sprint(nodes), "[]") }

func mustPlace(t testing.TB, c Circuit, lim Limits, m Method) Placement {
	t.Helper()
	p, err := Place(c, lim, m)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func sitesText(sites []Site) string {
	var out []string
	for _, s := range sites {
		if s.Leg < 0 {
			out = append(out, fmt.Sprintf("in %d", s.Node))
		} else {
			out = append(out, fmt.Sprintf("leg %d at %d", s.Leg, s.Node))
		}
	}
	return strings.Join(out, ", ")
}
