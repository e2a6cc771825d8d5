package outright

import "math/bits"

// vector is counts of several things in one word, each up to its limit: a field of
// bits for each, and a bit above that is 0.
type vector uint64

// fields says how vectors are laid out.
type fields struct {
	limit []int
	shift []uint
	mask  []vector // of a field, by the place of its upper bit
	upper vector   // the bits above the fields
	full  vector   // every count at its limit
	base  []int    // weight of each count in the number of a vector
	size  int      // vectors there are
}

// newFields lays out counts up to limits, false when there are more than so many vectors.
func newFields(limit []int, most int) (*fields, bool) {
	f := &fields{limit: limit, mask: make([]vector, 64), size: 1}
	at := uint(0)
	for _, n := range limit {
		if n == 0 { // takes no room
			f.shift, f.base = append(f.shift, at), append(f.base, f.size)
			continue
		}
		wide := uint(bits.Len(uint(n))) + 1 // two counts together, each up to the limit
		if at+wide >= 64 || f.size > most/(n+1) {
			return nil, false
		}
		f.shift, f.base = append(f.shift, at), append(f.base, f.size)
		f.full |= vector(n) << at
		f.upper |= 1 << (at + wide)
		f.mask[at+wide] = (1<<wide - 1) << at
		at += wide + 1
		f.size *= n + 1
	}
	return f, true
}

// of returns counts as a vector.
func (f *fields) of(counts []int) vector {
	var v vector
	for i, n := range counts {
		v |= vector(min(n, f.limit[i])) << f.shift[i]
	}
	return v
}

// count returns a count of a vector.
func (f *fields) count(v vector, i int) int {
	return int(v >> f.shift[i] & (1<<bits.Len(uint(f.limit[i])) - 1))
}

// counts returns the counts of a vector.
func (f *fields) counts(v vector) []int {
	counts := make([]int, len(f.limit))
	for i := range counts {
		counts[i] = f.count(v, i)
	}
	return counts
}

// plus adds counts, each up to its limit.
func (f *fields) plus(x, y vector) vector {
	sum := x + y
	for over := ^(f.full | f.upper - sum) & f.upper; over != 0; over &= over - 1 {
		mask := f.mask[bits.TrailingZeros64(uint64(over))]
		sum = sum&^mask | f.full&mask
	}
	return sum
}

// covers tells whether every count is at least another.
func (f *fields) covers(x, y vector) bool { return (x|f.upper-y)&f.upper == f.upper }

// number returns the number of a vector, which rises with every count.
func (f *fields) number(v vector) int {
	n := 0
	for i, base := range f.base {
		n += base * f.count(v, i)
	}
	return n
}
