package tour

import "math"

// heldKarp returns the shortest cyclic order or chain of the nodes by dynamic programming over subsets: for every
// subset and last node the shortest way through the subset from the start. places maps nodes to places, in an
// order that does not depend on how the places were given. Time and memory grow as 2^n.
func heldKarp(p *Problem, places []int) []int32 {
	n := len(places)
	start := 0
	for v, i := range places {
		if i == p.Start {
			start = v
		}
	}
	others := make([]int, 0, n-1) // node numbers without the start
	for v := range n {
		if v != start {
			others = append(others, v)
		}
	}
	d := make([][]float64, n)
	for a := range n {
		d[a] = make([]float64, n)
		for b := range n {
			if a != b {
				d[a][b] = p.Distance(places[a], places[b])
			}
		}
	}
	m := n - 1
	cost := make([]float64, m<<m)
	from := make([]int8, m<<m)
	for set := 1; set < 1<<m; set++ {
		for last := range m {
			if set>>last&1 == 0 {
				continue
			}
			at := set*m + last
			rest := set &^ (1 << last)
			if rest == 0 {
				cost[at], from[at] = d[start][others[last]], -1
				continue
			}
			cost[at] = math.Inf(1)
			for prev := range m {
				if rest>>prev&1 == 0 {
					continue
				}
				if c := cost[rest*m+prev] + d[others[prev]][others[last]]; c < cost[at] {
					cost[at], from[at] = c, int8(prev)
				}
			}
		}
	}
	full := 1<<m - 1
	best, end := math.Inf(1), 0
	for last := range m {
		c := cost[full*m+last]
		if !p.Open {
			c += d[others[last]][start]
		}
		if c < best {
			best, end = c, last
		}
	}
	order := make([]int32, n)
	order[0] = int32(start)
	for set, k := full, n-1; k > 0; k-- {
		order[k] = int32(others[end])
		prev := from[set*m+end]
		set &^= 1 << end
		end = int(prev)
	}
	return order
}
