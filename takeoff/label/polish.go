package label

// polish lowers the total cost of what is placed without ever unplacing a
// label: better places for single labels, for pairs where one stands in the
// other's way, and the same place for neighbours in a row or column.
func (m *model) polish() {
	m.findMates()
	const rounds = 6
	for range rounds {
		better := false
		for i := range m.items {
			if m.improve(int32(i)) {
				better = true
			}
		}
		if !better {
			return
		}
	}
}

// worth is the cost of item i at candidate c: its own and that of standing unlike its mates.
func (m *model) worth(i, c int32) int32 {
	cost := m.cands[c].cost
	for _, j := range m.mates[i] {
		if k := m.cur[j]; k >= 0 && m.cands[k].slot != m.cands[c].slot {
			cost += mismatchCost
		}
	}
	return cost
}

// improve moves item i to a cheaper place and reports whether it did.
func (m *model) improve(i int32) bool {
	if m.cur[i] < 0 {
		return m.place(i)
	}
	moved := false
	now := m.worth(i, m.cur[i])
	for _, c := range m.of[i] {
		if now == 0 {
			break
		}
		if c == m.cur[i] || m.hits[c] > 1 || m.worth(i, c) >= now {
			continue
		}
		if m.hits[c] == 0 {
			m.drop(i)
			m.choose(i, c)
		} else if !m.swap(i, c) {
			continue
		}
		moved, now = true, m.worth(i, c)
	}
	return moved
}

// place gives an unplaced item the cheapest free candidate, if there is one.
func (m *model) place(i int32) bool {
	best, least := int32(-1), int32(hard)
	for _, c := range m.of[i] {
		if w := m.worth(i, c); m.hits[c] == 0 && w < least {
			best, least = c, w
		}
	}
	if best >= 0 {
		m.choose(i, best)
	}
	return best >= 0
}

// swap moves i to c and the one label in its way elsewhere, if both together then cost less.
func (m *model) swap(i, c int32) bool {
	j, was := int32(-1), int32(-1)
	for _, y := range m.adj[c] {
		if o := m.cands[y].label; m.cur[o] == y {
			j, was = o, y
			break
		}
	}
	old := m.cur[i]
	before := m.worth(i, old) + m.worth(j, was)
	m.drop(i)
	m.drop(j)
	m.choose(i, c)
	if m.place(j) {
		if m.worth(i, c)+m.worth(j, m.cur[j]) < before {
			return true
		}
		m.drop(j)
	}
	m.drop(i)
	m.choose(i, old)
	m.choose(j, was)
	return false
}
