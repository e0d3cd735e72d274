package boat_test

import (
	"fmt"
	"time"

	"dewgap/window/boat"
)

func ExamplePreset() {
	zones, err := boat.Preset("flybridge-cruiser", 13)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, z := range zones[:5] {
		fmt.Printf("%-20s tilt %3.0f faces %3.0f %s %.1f m²\n", z.Name, z.Tilt, z.Faces, z.Finish.Name, z.AreaM2)
	}
	_, err = boat.Preset("canoe", 5)
	fmt.Println(err)
	// Output:
	// port side            tilt  90 faces 270 white-gelcoat 15.7 m²
	// starboard side       tilt  90 faces  90 white-gelcoat 15.7 m²
	// port lower side      tilt 100 faces 270 white-gelcoat 3.9 m²
	// starboard lower side tilt 100 faces  90 white-gelcoat 3.9 m²
	// transom              tilt  90 faces 180 white-gelcoat 5.1 m²
	// no preset for a boat of kind "canoe": use one of flybridge-cruiser, sport-fisher, express-cruiser, centre-console, sailing-yacht, catamaran
}

func ExampleFinishByName() {
	f, _ := boat.FinishByName("navy-gelcoat")
	fmt.Println(f.Absorptance, f.Emissivity, f.Skin, f.Holding(90))
	// Output: 0.92 0.9 cored 50
}

func ExampleSector_Hides() {
	neighbour := boat.Sector{From: 330, To: 40, UpTo: 25, Until: time.Date(2026, 9, 7, 12, 0, 0, 0, time.UTC), HasUntil: true}
	fmt.Println(neighbour.Hides(10, 5), neighbour.Hides(30, 5), neighbour.Hides(10, 90))
	fmt.Println(neighbour.Stands(neighbour.Until))
	// Output:
	// true false false
	// false
}

func ExampleSector_True() {
	own := boat.Sector{From: 170, To: 190, UpTo: 40, Relative: true}
	s := own.True(200)
	fmt.Println(boat.Turn(s.From), boat.Turn(s.To))
	// Output: 10 30
}
