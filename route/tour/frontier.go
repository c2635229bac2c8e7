package tour

import "math"

// A frontier is a binary heap of the nodes that a growing tree can reach next, the cheapest first. A node stands in it
// once and rises when it becomes cheaper.
type frontier struct {
	heap []int32
	at   []int32 // where a node stands in the heap; -1: nowhere
	cost []float64
}

func newFrontier(n int) *frontier {
	return &frontier{make([]int32, 0, n), make([]int32, n), make([]float64, n)}
}

// begin empties the frontier but for the root.
func (f *frontier) begin(root int32) {
	for v := range f.cost {
		f.cost[v], f.at[v] = math.Inf(1), -1
	}
	f.heap = append(f.heap[:0], root)
	f.cost[root], f.at[root] = 0, 0
}

// lower lowers the cost of a node, if it is not in the tree yet and gains by that.
func (f *frontier) lower(v int32, cost float64) bool {
	if cost >= f.cost[v] || f.at[v] == inTree {
		return false
	}
	f.cost[v] = cost
	k := int(f.at[v])
	if k < 0 {
		k = len(f.heap)
		f.heap = append(f.heap, v)
	}
	for k > 0 {
		up := (k - 1) / 2
		if !f.less(v, f.heap[up]) {
			break
		}
		f.heap[k] = f.heap[up]
		f.at[f.heap[k]] = int32(k)
		k = up
	}
	f.heap[k], f.at[v] = v, int32(k)
	return true
}

// inTree marks a node that has left the frontier.
const inTree = -2

func (f *frontier) less(u, v int32) bool {
	return f.cost[u] < f.cost[v] || f.cost[u] == f.cost[v] && u < v
}

// pop takes out the cheapest node.
func (f *frontier) pop() int32 {
	h := f.heap
	top, last := h[0], len(h)-1
	v := h[last]
	h = h[:last]
	f.heap, f.at[top] = h, inTree
	if last == 0 {
		return top
	}
	k := 0
	for {
		down := 2*k + 1
		if down >= last {
			break
		}
		if down+1 < last && f.less(h[down+1], h[down]) {
			down++
		}
		if !f.less(h[down], v) {
			break
		}
		h[k] = h[down]
		f.at[h[k]] = int32(k)
		k = down
	}
	h[k], f.at[v] = v, int32(k)
	return top
}
