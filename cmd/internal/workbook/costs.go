package workbook

import (
	"fmt"
	"strings"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// costTable is a sheet of quantities times what one of each costs, in money or
// in hours, in groups with their sums.
type costTable struct {
	file   *xlsx.Book
	s      *xlsx.Sheet
	form   xlsx.Form // of what one costs and of the product
	flag   string    // what is said of a row that lacks its figure
	prefix string    // of the names of its columns
	first  int       // row under the head
	gaps   int       // rows that lack their figure
	groups []groupCells
	all    xlsx.Ref // the sum of the groups; the number of rows without a figure stands beside it
}

// groupCells are the sum of one group and how many figures are missing in it.
type groupCells struct {
	name         string
	sum, missing xlsx.Ref
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

func newCostTable(b *book, name, flag, prefix string, f xlsx.Form, title, note string, heads [2]string) *costTable {
	s := b.NewSheet(name, 22, 38, 12, 11, 14, 15, 20, 8)
	s.Hidden, s.Portrait = []int{costGap}, true
	s.Title(title, note)
	s.Head = s.Header("item", "name", "quantity", "unit", heads[0], heads[1], "not given", "gap").Row
	s.Freeze = 1
	return &costTable{file: b.Book, s: s, form: f, flag: flag, prefix: prefix, first: s.Next()}
}

// group adds the rows of a group and their sum.
func (t *costTable) group(name string, rows func()) {
	s := t.s
	s.Blank(1)
	s.Section(name)
	first, gaps := s.Next(), t.gaps
	rows()
	last := s.Next() - 1
	if last < first {
		s.Note("none")
		last = first
	}
	sum := 0.0
	for r := first; r <= last; r++ {
		sum += s.Ref(r, costProduct).Or0()
	}
	blank := xlsx.Cell{}.As(xlsx.RoleTotal)
	r := s.Add(xlsx.Text("sum").As(xlsx.RoleTotal), blank, blank, blank, blank,
		xlsx.Calc(sumOf(xlsx.At(costProduct, first), xlsx.At(costProduct, last), true), sum, t.form).As(xlsx.RoleTotal),
		xlsx.Calc(fmt.Sprintf("COUNT(%s:%s)", xlsx.At(costGap, first), xlsx.At(costGap, last)), t.gaps-gaps, xlsx.FormCount).As(xlsx.RoleTotal))
	s.Checks = append(s.Checks, xlsx.Check{Where: xlsx.At(costEach, first) + ":" + xlsx.At(costEach, last), Most: 1e9})
	t.groups = append(t.groups, groupCells{name, r.Right(costProduct - 1), r.Right(costFlag - 1)})
}

// row adds an item; per is what one costs is given for: 1, or 100 units of length.
// It returns the cell of what one costs.
func (t *costTable) row(item, name string, quantity xlsx.Cell, unit string, each xlsx.Cell, per int) xlsx.Ref {
	s, row := t.s, t.s.Next()
	n, product := cellNumber(quantity), 0.0
	flag, gap := "", any("")
	if v, ok := each.Value.(float64); ok {
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
	return s.Add(xlsx.Text(item), xlsx.Text(name), quantity, xlsx.Text(unit), each,
		xlsx.Calc(f, product, t.form),
		xlsx.Calc(fmt.Sprintf(`IF(OR(C%[1]d=0,ISNUMBER(E%[1]d)),"",%[2]q)`, row, t.flag), flag, xlsx.FormGeneral).As(xlsx.RoleFlag),
		xlsx.Calc(fmt.Sprintf(`IF(G%d="","",COUNT(H$%d:H%d)+1)`, row, t.first-1, row-1), gap, xlsx.FormGeneral)).Right(costEach - 1)
}

// close adds the sum of all groups and names the columns in which the first
// sheet looks up what is missing.
func (t *costTable) close() {
	last := t.s.Next() - 1
	sum, gaps := t.total()
	var sums, missing []string
	for _, g := range t.groups {
		sums, missing = append(sums, g.sum.Here()), append(missing, g.missing.Here())
	}
	t.s.Blank(1)
	blank := xlsx.Cell{}.As(xlsx.RoleBanner)
	t.all = t.s.Add(xlsx.Text("all").As(xlsx.RoleBanner), blank, blank, blank, blank,
		xlsx.Calc(strings.Join(sums, "+"), sum, t.form).As(xlsx.RoleBanner), xlsx.Calc(strings.Join(missing, "+"), gaps, xlsx.FormCount).As(xlsx.RoleBanner)).Right(costProduct - 1)
	t.file.DefineSpan(t.prefix+"Gap", t.s, costGap, t.first, last)
	t.file.DefineSpan(t.prefix+"Item", t.s, costItem, t.first, last)
}

// total is the sum of all groups and the number of figures that they lack.
func (t *costTable) total() (sum float64, gaps int) {
	for _, g := range t.groups {
		sum += g.sum.Or0()
	}
	return sum, t.gaps
}

// gapItems lists the items that lack their figure.
func (t *costTable) gapItems() []string {
	var out []string
	for r := t.first; r < t.s.Next(); r++ {
		cells := t.s.Row(r)
		if len(cells) < costGap {
			continue
		}
		if _, ok := cells[costGap-1].Value.(int); ok {
			name, _ := cells[costItem-1].Value.(string)
			out = append(out, name)
		}
	}
	return out
}

// counted is a quantity taken from another cell.
func counted(n xlsx.Ref, f xlsx.Form) xlsx.Cell {
	if f == xlsx.FormLength {
		return xlsx.Calc(n.There(), n.Or0(), f)
	}
	return xlsx.Calc(n.There(), int(n.Or0()), f)
}

// figureCell is a figure that the user may change; one that is not known is blank.
func figureCell(v float64, known bool, f xlsx.Form) xlsx.Cell {
	c := xlsx.Cell{Style: xlsx.Style{Form: f, Role: xlsx.RoleInput}}
	if known {
		c.Value = v
	}
	return c
}

// costCell is a figure of the job file as it is.
func costCell(x job.Figure, f xlsx.Form) xlsx.Cell { return figureCell(x.V, x.Known, f) }

// typeFigure is a figure of a device type, which the file may give as 0.
func typeFigure(o *outcome.Outcome, i int, key string, v float64, f xlsx.Form) xlsx.Cell {
	return figureCell(v, v > 0 || o.Job.Given(fmt.Sprintf("types[%d].%s", i, key)), f)
}

// follow is what another cell holds, blank where that is.
func follow(r xlsx.Ref, where string, f xlsx.Form) xlsx.Cell {
	var v any = ""
	if n, ok := r.Num(); ok {
		v = n
	}
	return xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"")`, where), v, f)
}

// isolatorEach is what an isolator to add costs: its own figure, or that of the
// only type that does nothing else.
func isolatorEach(o *outcome.Outcome, x job.Figure, types []xlsx.Ref, f xlsx.Form) xlsx.Cell {
	only := -1
	for i, t := range o.Job.Types {
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
	return follow(types[only], types[only].Here(), f)
}

func cellNumber(c xlsx.Cell) float64 {
	switch v := c.Value.(type) {
	case float64:
		return v
	case int:
		return float64(v)
	}
	return 0
}
