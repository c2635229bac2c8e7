package label

// solve goes through the tiers: each later one only for labels that the ones
// before left without a place, and for the labels that keep them from one.
func (m *model) solve() {
	all := make([]int32, len(m.items))
	for i := range all {
		all[i] = int32(i)
		m.extend(int32(i), tierSides)
	}
	m.greedy(all)
	m.repair()
	if m.opt.Fixed {
		m.polish()
		m.fill(tierSides)
		return
	}
	// The search may give the place of one label to another, which leaves one
	// without that has not had all its candidates: hence the second round.
	for range 2 {
		for tier := tierSlides; tier < tierCount; tier++ {
			m.widen(tier)
		}
	}
	m.offer(3*unit, tierSlides)
	m.polish()
	// What covers so much that a leader is better by far.
	m.offer(2*leaderCost, tierLeader)
	m.polish()
	m.fill(tierResort)
}

// fill uses the room that the last moves may have made.
func (m *model) fill(upTo int) {
	for _, i := range m.unplaced() {
		for tier := tierSides; tier <= upTo && m.cur[i] < 0; tier++ {
			m.extend(i, tier)
			m.place(i)
		}
	}
}

// offer gives the labels whose place costs so much or more the places of a tier to choose from.
func (m *model) offer(poor int32, tier int) {
	for _, i := range m.dear(poor) {
		m.extend(i, tier)
	}
}

// dear returns the labels that had to take a place that costs so much or more.
func (m *model) dear(poor int32) []int32 {
	var list []int32
	for i := range m.items {
		if c := m.cur[i]; c >= 0 && !m.cands[c].lead && m.cands[c].cost >= poor {
			list = append(list, int32(i))
		}
	}
	return list
}

// widen gives the labels without a place the candidates of a tier and, as far
// as that is not enough, more freedom to those in their way.
func (m *model) widen(tier int) {
	open := m.unplaced()
	if len(open) == 0 {
		return
	}
	before := len(m.cands)
	for _, i := range open {
		m.extend(i, tier)
	}
	if len(m.cands) == before {
		return
	}
	m.greedy(open)
	if tier > tierSlides {
		m.repair()
	}
	for around := tierSlides; around <= min(tier, tierLeader); around++ {
		open = m.unplaced()
		// Moving the leaders around a label as well is dear, and worth it only for the last few.
		few := tier == tierResort && len(open) <= 8+len(m.items)/200
		before := len(m.cands)
		for _, j := range m.around(open, few) {
			m.extend(j, around)
		}
		if len(m.cands) > before || tier == tierSlides {
			m.repair()
		}
	}
}

func (m *model) unplaced() []int32 {
	var open []int32
	for i := range m.items {
		if m.cur[i] < 0 {
			open = append(open, int32(i))
		}
	}
	return open
}

// around returns the labels that could take a place beside the symbols of the
// given ones; with leaders, also those that could be in the way of their leaders.
func (m *model) around(open []int32, leaders bool) []int32 {
	in := make([]bool, len(m.items))
	for _, i := range open {
		for _, c := range m.of[i] {
			if m.cands[c].lead && !leaders {
				continue
			}
			for _, y := range m.adj[c] {
				if leaders || !m.cands[y].lead {
					in[m.cands[y].label] = true
				}
			}
		}
	}
	var list []int32
	for i, yes := range in {
		if yes {
			list = append(list, int32(i))
		}
	}
	return list
}
