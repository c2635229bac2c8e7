package circuit

import (
	"strings"
	"testing"
)

func TestCheck(t *testing.T) {
	for _, tt := range []struct {
		name  string
		class Class
		nodes int
		legs  string // 01 for a leg from node 0 to node 1
		want  string // in the error; "" for none
	}{
		{"control unit alone, B", ClassB, 1, "", ""},
		{"control unit alone, A", ClassA, 1, "", ""},
		{"chain", ClassB, 3, "01 12", ""},
		{"tree, legs in any order and either way round", ClassB, 5, "34 21 31 10", ""},
		{"loop", ClassA, 4, "02 12 31 03", ""},
		{"loop of one device", ClassX, 2, "01 10", ""},
		{"no such class", "C", 2, "01", `pathway class "C": use A, B or X`},
		{"no nodes", ClassB, 0, "", "control unit"},
		{"bad node", ClassB, 2, "02", "nodes of 0 to 1"},
		{"own tail", ClassB, 2, "11", "two different nodes"},
		{"class B loop", ClassB, 2, "01 10", "needs 1 legs"},
		{"class B island", ClassB, 4, "01 23 32", "node 2 is not connected"},
		{"class A without a leg", ClassA, 2, "", "node 0 has 0 legs"},
		{"class A open", ClassA, 3, "01 12", "every node has two"},
		{"class A tap", ClassA, 4, "01 12 20 13", "every node has two"},
		{"class X two loops", ClassX, 4, "01 10 23 32", "node 2 is not connected"},
	} {
		var legs []Ends
		for _, l := range strings.Fields(tt.legs) {
			legs = append(legs, Ends{int(l[0] - '0'), int(l[1] - '0')})
		}
		err := Check(tt.class, tt.nodes, legs)
		if tt.want == "" && err != nil || tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)) {
			t.Errorf("%s: got %v, want %q", tt.name, err, tt.want)
		}
	}
}
