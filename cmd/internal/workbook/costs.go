package workbook

import (
	"fmt"
	"strings"

	"loopwright/cmd/internal/job"
)

// costTable is a sheet of quantities times what one of each costs, in money or
// in hours, in groups with their sums.
type costTable struct {
	b      *book
	s      *sheet
	form   form   // of what one costs and of the product
	flag   string // what is said of a row that lacks its figure
	prefix string // of the names of its columns
	first  int    // row under the head
	gaps   int    // rows that lack their figure
	groups []groupCells
	all    ref // the sum of the groups; the number of rows without a figure stands beside it
}

// groupCells are the sum of one group and how many figures are missing in it.
type groupCells struct {
	name         string
	sum, missing ref
}

// The columns of such a sheet.
const (
	costItem = 1 + iota
	costName
	costQuantity
	costUnit
	costEach
	costProduct
	costFlag
	costGap // hidden: the running number of a row that lacks its figure
)

func (b *book) newCostTable(name, flag, prefix string, f form, title, note string, heads [2]string) *costTable {
	s := b.newSheet(name, 22, 38, 12, 11, 14, 15, 20, 8)
	s.hidden, s.portrait = []int{costGap}, true
	s.title(title, note)
	s.head = s.header("item", "name", "quantity", "unit", heads[0], heads[1], "not given", "gap").row
	s.freeze = 1
	return &costTable{b: b, s: s, form: f, flag: flag, prefix: prefix, first: s.next()}
}

// group adds the rows of a group and their sum.
func (t *costTable) group(name string, rows func()) {
	s := t.s
	s.blank(1)
	s.section(name)
	first, gaps := s.next(), t.gaps
	rows()
	last := s.next() - 1
	if last < first {
		s.note("none")
		last = first
	}
	sum := 0.0
	for r := first; r <= last; r++ {
		sum += ref{s, r, costProduct}.or0()
	}
	blank := cell{}.as(roleTotal)
	r := s.add(text("sum").as(roleTotal), blank, blank, blank, blank,
		calc(sumOf(at(costProduct, first), at(costProduct, last), true), sum, t.form).as(roleTotal),
		calc(fmt.Sprintf("COUNT(%s:%s)", at(costGap, first), at(costGap, last)), t.gaps-gaps, formCount).as(roleTotal))
	s.checks = append(s.checks, check{where: at(costEach, first) + ":" + at(costEach, last), most: 1e9})
	t.groups = append(t.groups, groupCells{name, r.right(costProduct - 1), r.right(costFlag - 1)})
}

// row adds an item; per is what one costs is given for: 1, or 100 units of length.
// It returns the cell of what one costs.
func (t *costTable) row(item, name string, quantity cell, unit string, each cell, per int) ref {
	s, row := t.s, t.s.next()
	n, product := cellNumber(quantity), 0.0
	flag, gap := "", any("")
	if v, ok := each.value.(float64); ok {
		product = n * v / float64(per)
	} else if n > 0 {
		flag = t.flag
		t.gaps++
		gap = t.gaps
	}
	f := fmt.Sprintf("IF(ISNUMBER(E%[1]d),C%[1]d*E%[1]d,0)", row)
	if per != 1 {
		f = fmt.Sprintf("IF(ISNUMBER(E%[1]d),C%[1]d*E%[1]d/%[2]d,0)", row, per)
	}
	return s.add(text(item), text(name), quantity, text(unit), each,
		calc(f, product, t.form),
		calc(fmt.Sprintf(`IF(OR(C%[1]d=0,ISNUMBER(E%[1]d)),"",%[2]q)`, row, t.flag), flag, formGeneral).as(roleFlag),
		calc(fmt.Sprintf(`IF(G%d="","",COUNT(H$%d:H%d)+1)`, row, t.first-1, row-1), gap, formGeneral)).right(costEach - 1)
}

// close adds the sum of all groups and names the columns in which the first
// sheet looks up what is missing.
func (t *costTable) close() {
	last := t.s.next() - 1
	sum, gaps := t.total()
	var sums, missing []string
	for _, g := range t.groups {
		sums, missing = append(sums, g.sum.here()), append(missing, g.missing.here())
	}
	t.s.blank(1)
	blank := cell{}.as(roleBanner)
	t.all = t.s.add(text("all").as(roleBanner), blank, blank, blank, blank,
		calc(strings.Join(sums, "+"), sum, t.form).as(roleBanner), calc(strings.Join(missing, "+"), gaps, formCount).as(roleBanner)).right(costProduct - 1)
	t.b.defineSpan(t.prefix+"Gap", t.s, costGap, t.first, last)
	t.b.defineSpan(t.prefix+"Item", t.s, costItem, t.first, last)
}

// total is the sum of all groups and the number of figures that they lack.
func (t *costTable) total() (sum float64, gaps int) {
	for _, g := range t.groups {
		sum += g.sum.or0()
	}
	return sum, t.gaps
}

// gapItems lists the items that lack their figure.
func (t *costTable) gapItems() []string {
	var out []string
	for r := t.first; r < t.s.next(); r++ {
		cells := t.s.row(r)
		if len(cells) < costGap {
			continue
		}
		if _, ok := cells[costGap-1].value.(int); ok {
			name, _ := cells[costItem-1].value.(string)
			out = append(out, name)
		}
	}
	return out
}

// counted is a quantity taken from another cell.
func counted(n ref, f form) cell {
	if f == formLength {
		return calc(n.there(), n.or0(), f)
	}
	return calc(n.there(), int(n.or0()), f)
}

// figureCell is a figure that the user may change; one that is not known is blank.
func figureCell(v float64, known bool, f form) cell {
	c := cell{style: style{form: f, role: roleInput}}
	if known {
		c.value = v
	}
	return c
}

// costCell is a figure of the job file as it is.
func costCell(x job.Figure, f form) cell { return figureCell(x.V, x.Known, f) }

// typeFigure is a figure of a device type, which the file may give as 0.
func (b *book) typeFigure(i int, key string, v float64, f form) cell {
	return figureCell(v, v > 0 || b.in.Job.Given(fmt.Sprintf("types[%d].%s", i, key)), f)
}

// follow is what another cell holds, blank where that is.
func follow(r ref, where string, f form) cell {
	var v any = ""
	if n, ok := r.num(); ok {
		v = n
	}
	return calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"")`, where), v, f)
}

// isolatorEach is what an isolator to add costs: its own figure, or that of the
// only type that does nothing else.
func (b *book) isolatorEach(x job.Figure, types []ref, f form) cell {
	only := -1
	for i, t := range b.in.Job.Types {
		if t.Isolates && t.Addresses == 0 {
			if only >= 0 {
				return costCell(x, f)
			}
			only = i
		}
	}
	if x.Known || only < 0 {
		return costCell(x, f)
	}
	return follow(types[only], types[only].here(), f)
}

func cellNumber(c cell) float64 {
	switch v := c.value.(type) {
	case float64:
		return v
	case int:
		return float64(v)
	}
	return 0
}
