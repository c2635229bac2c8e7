package recognize

// Unit is how large a unit of a drawing is.
type Unit struct {
	Metres float64
}

// Unit tells the units of the pages.
func (r *Result) Unit() []Unit { return make([]Unit, len(r.Pages)) }
