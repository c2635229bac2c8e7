package tour

// A ring is a cyclic order of nodes that is changed by reversals only, each of which is logged so that it can be
// taken back.
type ring struct {
	n     int
	order []int32
	pos   []int32
	log   []reversal
}

// A reversal turns the positions from i up to j, cyclically, end for end. It is its own inverse.
type reversal struct{ i, j int32 }

func newRing(order []int32) *ring {
	r := &ring{n: len(order), order: order, pos: make([]int32, len(order))}
	r.index()
	return r
}

func (r *ring) index() {
	for k, v := range r.order {
		r.pos[v] = int32(k)
	}
}

func (r *ring) succ(v int32) int32 {
	k := int(r.pos[v]) + 1
	if k == r.n {
		k = 0
	}
	return r.order[k]
}

func (r *ring) pred(v int32) int32 {
	k := int(r.pos[v]) - 1
	if k < 0 {
		k = r.n - 1
	}
	return r.order[k]
}

// reverse turns the way from node a up to node b, or what is the same cycle, the rest of the ring if that is shorter.
func (r *ring) reverse(a, b int32) {
	i, j := r.pos[a], r.pos[b]
	length := int(j-i) + 1
	if length <= 0 {
		length += r.n
	}
	if 2*length > r.n {
		i, j = j+1, i-1
		if int(i) == r.n {
			i = 0
		}
		if j < 0 {
			j = int32(r.n) - 1
		}
	}
	r.log = append(r.log, reversal{i, j})
	r.flip(i, j)
}

func (r *ring) flip(i, j int32) {
	length := int(j-i) + 1
	if length <= 0 {
		length += r.n
	}
	order, pos := r.order, r.pos
	if i <= j {
		for ; i < j; i, j = i+1, j-1 {
			u, v := order[i], order[j]
			order[i], order[j] = v, u
			pos[v], pos[u] = i, j
		}
		return
	}
	for range length / 2 {
		u, v := order[i], order[j]
		order[i], order[j] = v, u
		pos[v], pos[u] = i, j
		if i++; int(i) == r.n {
			i = 0
		}
		if j--; j < 0 {
			j = int32(r.n) - 1
		}
	}
}

// undo takes back all logged reversals.
func (r *ring) undo() {
	for k := len(r.log) - 1; k >= 0; k-- {
		r.flip(r.log[k].i, r.log[k].j)
	}
	r.log = r.log[:0]
}
