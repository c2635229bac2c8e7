package takeoff

// looksLikeSeveral is filled in with the finding of level titles.
func (r *reader) looksLikeSeveral() {}
