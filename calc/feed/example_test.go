package feed_test

import (
	"fmt"

	"resawd/calc/feed"
	"resawd/calc/length"
)

const in = length.Inch

func ExampleSpeed_In() {
	fmt.Println(feed.Speed(120 * in).In(length.Foot))
	// Output: 10
}

// pi * 14 * 1000 / 12 = 3665.19 ft/min.
func ExampleRimSpeed() {
	v, _ := feed.RimSpeed(14*in, 1000)
	fmt.Printf("%.2f ft/min, %.2f m/s\n", v.In(length.Foot), v.In(length.Metre)/60)
	// Output: 3665.19 ft/min, 18.62 m/s
}

// 120 / (3 * 36 000) = 0.00111 in.
func ExamplePerTooth() {
	b, _ := feed.PerTooth(feed.Speed(120*in), feed.BladeSpeed(3000*length.Foot), 3)
	fmt.Printf("%.5f in\n", b/25.4)
	// Output: 0.00111 in
}

func ExampleTeethInCut() {
	n, _ := feed.TeethInCut(6*in, 3)
	fmt.Println(n)
	_, err := feed.TeethInCut(6*in, 0)
	fmt.Println(err)
	// Output:
	// 18
	// tpi is 0: it must be from 0.1 to 100
}

// 0.02 mm * 150 mm / 6 mm2.
func ExampleGulletFeedIndex() {
	gfi, _ := feed.GulletFeedIndex(0.02, 150*length.Millimetre, 6)
	fmt.Printf("%.2f\n", gfi)
	// Output: 0.50
}

// 10 in/min through 6 in: 60 square inches of 645.16 mm2.
func ExampleSawnAreaPerMinute() {
	mm2, _ := feed.SawnAreaPerMinute(feed.Speed(10*in), 6*in)
	fmt.Printf("%.1f\n", mm2)
	// Output: 38709.6
}

// 36 / 10 * 60 and 36 / 30 * 60.
func ExampleCutSeconds() {
	powered, _ := feed.CutSeconds(feed.Pass{CutLength: 36 * in, Feed: feed.Speed(10 * in)})
	byHand, _ := feed.CutSeconds(feed.Pass{CutLength: 36 * in, Feed: feed.Speed(30 * in)})
	fmt.Printf("%.0f s, %.0f s\n", powered, byHand)
	// Output: 216 s, 72 s
}

func ExamplePass_Travel() {
	fmt.Println(feed.Pass{CutLength: 36 * in, RunIn: 2 * in, RunOut: 4 * in}.Travel().Decimal(in))
	// Output: 42
}

// Ten cuts of 36 in with 2 in each of run-in and run-out: 40 in at 10 in/min is
// 240 s, back at 120 in/min 20 s.
func ExampleRunTime() {
	b, _ := feed.RunTime(feed.Job{
		Pass:     feed.Pass{CutLength: 36 * in, RunIn: 2 * in, RunOut: 2 * in, Feed: feed.Speed(10 * in)},
		CutCount: 10, ReturnFeed: feed.Speed(120 * in),
		HandleSeconds: 30, IndexSeconds: 15, SetupSeconds: 900, CleanCount: 1, CleanSeconds: 60,
	})
	fmt.Printf("%+v\n", b)
	// Output: {CuttingSeconds:2400 ReturningSeconds:200 HandlingSeconds:300 IndexingSeconds:150 SettingUpSeconds:900 CleaningSeconds:60}
}

func ExampleBreakdown_Total() {
	fmt.Println(feed.Breakdown{
		CuttingSeconds: 2400, ReturningSeconds: 200, HandlingSeconds: 300,
		IndexingSeconds: 150, SettingUpSeconds: 900, CleaningSeconds: 60,
	}.Total())
	// Output: 4010
}

// After the 10th and the 20th of 21 cuts; after the 10th only of 20.
func ExampleCleanCount() {
	fmt.Println(feed.CleanCount(21, 10))
	fmt.Println(feed.CleanCount(20, 10))
	// Output:
	// 2 <nil>
	// 1 <nil>
}

// 3000 ft/min is 914.4 m/min, as the international foot has it.
func ExampleBladeSpeed_In() {
	fmt.Println(feed.BladeSpeed(3000 * length.Foot).In(length.Metre))
	// Output: 914.4
}
