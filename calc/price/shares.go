package price

import (
	"math"

	"resawd/calc/fault"
)

// Shares parts an amount in proportion to some sizes, such as what a board cost among
// the billets cut from it. The shares add up to the amount: each ends where its size
// ends among all of them, rounded to the nearest ten-thousandth.
//
// Source: definition (cumulative rounding).
// Valid: 0 <= amount <= [Most]; 0 < each size <= 1e15, in any unit.
func Shares(amount Money, sizes []float64) ([]Money, error) {
	const largest = 1e15
	if err := fault.Within("amount", amount, 0, Most); err != nil {
		return nil, err
	}
	var all float64
	for _, size := range sizes {
		if err := fault.Above("size", size, 0, largest); err != nil {
			return nil, err
		}
		all += size
	}
	shares := make([]Money, len(sizes))
	var size float64
	var given Money
	for i := range sizes {
		size += sizes[i]
		shares[i] = Money(math.Round(float64(amount)*(size/all))) - given
		given += shares[i]
	}
	return shares, nil
}
