package pair_test

import (
	"fmt"

	"loopwright/assign/pair"
	"loopwright/takeoff/geom"
)

// The revised plan was drawn afresh, so its handles are others, and the whole
// of it lies 100 m farther east. One detector was moved by a metre, one is new.
func ExampleMatch() {
	at := func(key, typ string, x, y float64) pair.Spot {
		return pair.Spot{Key: key, Type: typ, Level: "Level 1", Sheet: "level-1.dxf", Pos: geom.Pt(x, y)}
	}
	old := []pair.Spot{at("2A", "smoke", 0, 0), at("2B", "smoke", 9, 0), at("2C", "pull", 12, 3), at("2D", "smoke", 0, 8)}
	fresh := []pair.Spot{at("91", "pull", 112, 3), at("92", "smoke", 100, 0), at("93", "smoke", 109, 1), at("94", "smoke", 100, 8), at("95", "heat", 130, 9)}

	res := pair.Match(old, fresh)
	for _, s := range res.Shifts {
		fmt.Printf("%s has moved by %.0f, %.0f m\n", s.Sheet, s.By.X, s.By.Y)
	}
	for _, p := range res.Pairs {
		fmt.Printf("%s is %s, moved %.0f m\n", old[p.Old].Key, fresh[p.New].Key, p.Distance)
	}
	for _, i := range res.Added {
		fmt.Println("new:", fresh[i].Key)
	}
	// Output:
	// level-1.dxf has moved by 100, 0 m
	// 2A is 92, moved 0 m
	// 2B is 93, moved 1 m
	// 2C is 91, moved 0 m
	// 2D is 94, moved 0 m
	// new: 95
}
