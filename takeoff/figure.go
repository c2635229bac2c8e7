package takeoff

type figure struct{}
type board struct{}

func (t *taker) sampleFigures() ([]figure, []Finding) { return nil, nil }
func (r *reader) takeFigures()                        {}
