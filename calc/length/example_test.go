package length_test

import (
	"fmt"

	"resawd/calc/length"
)

func ExampleParse() {
	leaf, _ := length.Parse("0.050", length.Inch)
	kerf, _ := length.Parse("3/64 in", length.Millimetre)
	fmt.Println(leaf+kerf, "=", (leaf + kerf).Decimal(length.Inch), "in")
	_, err := length.Parse("1,200", length.Inch)
	fmt.Println(err)
	// Output:
	// 2.460625 mm = 0.096875 in
	// "1,200" has a comma: write a decimal point and no thousands separator
}

func ExampleParseComma() {
	fmt.Println(length.ParseComma("1,2 mm", length.Inch))
	// Output: 1.2 mm <nil>
}

func ExampleQuarterSize() {
	fmt.Println(length.QuarterSize("8/4"), length.QuarterSize("1-3/4"))
	// Output: true false
}

func ExampleFromFloat() {
	fmt.Println(length.FromFloat(1.0/3, length.Inch))
	// Output: 8.466667 mm <nil>
}

func ExampleLength_In() {
	fmt.Println((1905 * length.Micrometre).In(length.Inch))
	// Output: 0.075
}

func ExampleLength_Scale() {
	// The seventh of fifty divisions of a turn of 0.050 in.
	fmt.Println((length.Inch / 20).Scale(7, 50).Decimal(length.Inch))
	// Output: 0.007
}

func ExampleLength_Decimal() {
	fmt.Println((3 * length.Inch / 2).Decimal(length.Millimetre))
	// Output: 38.1
}

func ExampleLength_AppendDecimal() {
	fmt.Println(string((length.Inch / 2).AppendDecimal([]byte("leaf "), length.Inch)))
	// Output: leaf 0.5
}

func ExampleLength_Fixed() {
	fmt.Println((2 * length.Millimetre).Fixed(length.Inch, 3))
	// Output: 0.079
}

func ExampleLength_Fraction() {
	fmt.Println((3 * length.Inch / 2).Fraction())
	// Output: 1-1/2 in true
}

func ExampleLength_String() {
	fmt.Println(length.Inch / 64)
	// Output: 0.396875 mm
}
