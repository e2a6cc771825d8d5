package gauge

import (
	"slices"
	"testing"

	"resawd/calc/length"
)

// places gives spots of which only the height is known.
func places(of ...Place) []Spot {
	all := make([]Spot, len(of))
	for i, p := range of {
		all[i].Place = p
	}
	return all
}

// TestShape: places in any order; more than allowed, and just allowed.
func TestShape(t *testing.T) {
	const u = thou
	unseen := Shaped{Finding: MidUnseen}
	first, last := Spot{End: FirstEnd}, Spot{End: LastEnd}
	both := []Spot{{Top, FirstEnd}, {Bottom, FirstEnd}, {Top, LastEnd}, {Bottom, LastEnd}}
	for _, c := range []struct {
		name     string
		readings Readings
		spots    []Spot
		allowed  length.Length
		want     []Shaped
	}{
		{"top, bottom, middle", Readings{
			{50 * u, 50 * u, 52 * u}, {55 * u, 50 * u, 52 * u}, {50 * u, 55 * u, 52 * u}, {55 * u, 50 * u, 52 * u}, {54 * u, 50 * u, 52 * u}, {50 * u, 50 * u, 55 * u},
		}, places(Top, Bottom, Middle), 4 * u, []Shaped{{Wedge, 2, 5 * u, true}, {Wedge, 4, 5 * u, false}, {Barrel, 6, 5 * u, false}}},
		{"the same way twice, and a hollow", Readings{{9, 1, 5}, {9, 1, 1}}, places(Top, Bottom, Middle), 3,
			[]Shaped{{Wedge, 1, 8, false}, {Wedge, 2, 8, false}, {Barrel, 2, -4, false}}},
		{"the other way first", Readings{{1, 9}, {9, 1}}, places(Top, Bottom), 3, []Shaped{unseen, {Wedge, 1, -8, true}}},
		{"the middle first", Readings{{6, 2, 2}, {4, 7, 1}, {2, 2, 2}, {4, 1, 7}}, places(Middle, Top, Bottom), 3,
			[]Shaped{{Wedge, 2, 6, false}, {Wedge, 4, -6, false}, {Barrel, 1, 4, false}}},
		{"a nanometre", Readings{{2, 1}, {1, 2}}, places(Bottom, Top), 0, []Shaped{unseen, {Wedge, 1, -1, true}}},
		{"a nanometre the other way", Readings{{1, 2}, {2, 1}}, places(Bottom, Top), 0, []Shaped{unseen, {Wedge, 1, 1, true}}},
		{"the middle between", Readings{{1, 5, 1}}, places(Bottom, Middle, Top), 3, []Shaped{{Barrel, 1, 4, false}}},
		{"two barrels are no pair", Readings{{1, 5, 1}, {5, 1, 5}}, places(Bottom, Middle, Top), 3, []Shaped{{Barrel, 1, 4, false}, {Barrel, 2, -4, false}}},
		{"anywhere", Readings{{1, 9}}, places(Anywhere, Anywhere), 0, []Shaped{unseen}},
		{"top alone", Readings{{9}}, places(Top), 0, []Shaped{unseen}},
		{"bottom alone", Readings{{9}}, places(Bottom), 0, []Shaped{unseen}},
		{"middle alone", Readings{{9}}, places(Middle), 0, []Shaped{}},
		{"tapers", Readings{{9, 1}, {1, 9}, {1, 9}}, []Spot{first, last}, 3, []Shaped{unseen, {Taper, 1, 8, true}, {Taper, 3, -8, false}}},
		{"one end", Readings{{9, 1}}, []Spot{first, first}, 3, []Shaped{unseen}},
		{"the other end", Readings{{9, 1}}, []Spot{last, last}, 3, []Shaped{unseen}},
		// Means: top (10 + 4)/2 = 7, bottom (6 + 2)/2 = 4; first (10 + 6)/2 = 8, last 3.
		{"both", Readings{{10, 6, 4, 2}}, both, 2, []Shaped{unseen, {Wedge, 1, 3, false}, {Taper, 1, 5, false}}},
	} {
		if got, err := Shape(c.readings, c.spots, c.allowed); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %+v, %v", c.name, got, err)
		}
	}
}
