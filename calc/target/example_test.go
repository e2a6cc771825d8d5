package target_test

import (
	"fmt"

	"resawd/calc/length"
	"resawd/calc/target"
)

const (
	in   = length.Inch
	thou = length.Thou
)

// Brown 2000, page 12: 1.560 in finished, 0.030 in off each face: 1.620 in.
func ExampleCritical() {
	c, _ := target.Critical(target.Finish{Finished: 1560 * thou, Sanding: 30 * thou})
	fmt.Println(c.Fixed(in, 3))
	_, err := target.Critical(target.Finish{Finished: 1560 * thou, Shrinkage: 0.51})
	fmt.Println(err)
	// Output:
	// 1.620
	// shrinkage is 0.51: it must be from 0 to 0.5
}

// Brown 2000, Table 2, prints 2.05 for 2 %.
func ExampleZ() {
	z, _ := target.Z(0.02)
	fmt.Printf("%.2f\n", z)
	// Output: 2.05
}

// Brown 2000: critical size 1.620 in, Z 2, total deviation 0.030 in: 1.680 in.
func ExampleAim() {
	aim, _ := target.Aim(1620*thou, 2, 30*thou)
	fmt.Println(aim.Fixed(in, 3))
	// Output: 1.680
}

func ExampleOrder_SetRate() {
	fmt.Printf("%.2f\n", target.Order{SetSize: 2, GoodRate: 0.9}.SetRate())
	// Output: 0.81
}

// Two good ones of leaves that are good half of the time: seven give them with
// 1 - (1 + 7)/128, six only with 1 - (1 + 6)/64.
func ExampleLeafCount() {
	c, _ := target.LeafCount(target.Order{Wanted: 2, SetSize: 1, GoodRate: 0.5, Confidence: 0.9})
	fmt.Printf("%d leaves: %.4f\n", c.Leaves, c.Chance)
	// Output: 7 leaves: 0.9375
}

func ExampleGoodRate() {
	p, _ := target.GoodRate(1.96)
	fmt.Printf("%.3f\n", p)
	// Output: 0.975
}
