package price_test

import (
	"fmt"

	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/price"
)

const unit = price.Unit

func ExampleDecimals() {
	fmt.Println(price.Decimals("EUR"), price.Decimals("JPY"), price.Decimals("KWD"))
	// Output: 2 0 3
}

func ExampleMinorUnit() {
	fmt.Println(price.MinorUnit("USD"), price.MinorUnit("JPY"), price.MinorUnit("KWD"))
	// Output: 100 10000 10
}

// Three thirds of a unit of 100 hundredths: 0.34 and twice 0.33.
func ExampleRound() {
	lines, _ := price.Round([]price.Money{3334, 3333, 3333}, 100)
	fmt.Println(lines)
	// Output: [3400 3300 3300]
}

// Wood of 80 with 10 left over, an hour and a half at 30 and 12, half of a blade of
// 24, tape for 2: 70 + 45 + 18 + 12 + 2 = 147. At a margin of a quarter of the price,
// 147 / 0.75 = 196; 49 for each of 4 leaves.
func ExampleNewQuote() {
	q, _ := price.NewQuote(price.Job{
		Rates: price.Rates{LabourPerHour: 30 * unit, OverheadPerHour: 12 * unit},
		Blade: price.Blade{Price: 24 * unit, LifeMM2: 20e6}, SawnAreaMM2: 10e6,
		WoodCost: 80 * unit, LeftOver: 10 * unit, KerfShare: 0.4, LeafCount: 4, SetSize: 2,
		RunSeconds: 3600, ExtraSeconds: 1800, Consumables: 2 * unit, Margin: 0.25,
	}, price.MinorUnit("USD"))
	for _, l := range q.Lines {
		fmt.Print(l/unit, " ")
	}
	fmt.Println("=", q.Total/unit, "leaf", q.LeafPrice/unit, "set", q.SetPrice/unit, "dust", q.Dust/unit)
	// Output: 80 -10 45 18 12 2 49 = 196 leaf 49 set 98 dust 32
}

// 36 an hour is 0.01 a second: 45 s are 0.45, 900 s 9. At 10 in/min an inch lasts 6 s,
// 0.06; through 8 in it wears a blade of 20 that saws 16 000 sq in by 0.01.
func ExamplePasses() {
	p, _ := price.Passes(price.Pass{
		Rates:       price.Rates{LabourPerHour: 30 * unit, OverheadPerHour: 6 * unit},
		Blade:       price.Blade{Price: 20 * unit, LifeMM2: 16_000 * 25.4 * 25.4},
		PassSeconds: 45, SetupSeconds: 900, Feed: feed.Speed(10 * length.Inch), StockHeight: 8 * length.Inch,
	}, length.Inch)
	fmt.Println(p)
	// Output: {4500 700 90000}
}

// 2 in x 6-1/4 in x 8 ft.
func ExampleBoardFeet() {
	bf, _ := price.BoardFeet(price.Board{Thickness: 2 * length.Inch, Width: 25 * length.Inch / 4, Length: 8 * length.Foot})
	fmt.Printf("%.3f\n", bf)
	// Output: 8.333
}

// The same board: 4-1/6 is a surface measure of 4, times 2 in.
func ExampleTally() {
	bf, _ := price.Tally(price.Board{Thickness: 2 * length.Inch, Width: 25 * length.Inch / 4, Length: 8 * length.Foot})
	fmt.Println(bf)
	// Output: 8
}

// A board of 10 gives three billets of a third each.
func ExampleShares() {
	shares, _ := price.Shares(10*unit, []float64{6, 6, 6})
	fmt.Println(shares)
	// Output: [33333 33334 33333]
}
