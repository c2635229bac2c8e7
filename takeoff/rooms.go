package takeoff

func (r *reader) placeInRooms() {}
