// Package endless ends only with the right digit.
package endless

// Odd counts up to an odd number.
func Odd(odd int) (n int) {
	for n = 1; n != odd; n += 2 {
	}
	return n
}
