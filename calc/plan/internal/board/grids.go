package board

// billet returns the least size of a billet for a part, in one direction: that of the
// part, and no less than the smallest that is safe. It is 0 where there is no cut.
func billet(part, smallest nm) nm {
	if part == 0 {
		return 0
	}
	return max(part, smallest)
}

// grid returns what so many copies of a size take, with a kerf between neighbours.
func grid(copies int, size, kerf nm) nm { return nm(copies)*(size+kerf) - kerf }

// places returns the first of the sizes of billets that a part fits, and how many
// copies lie in a leaf of each size.
func places(sizes []nm, part nm) (first int, count []int) {
	count = make([]int, len(sizes))
	first = len(sizes)
	for n, size := range sizes {
		if size >= part {
			first, count[n] = min(first, n), 1
		}
	}
	return first, count
}

// Places returns how many sets of an item a matched set of leaves gives that is sawn
// from a billet of classes: 0 where it does not fit.
func (p *Problem) Places(i, l, w int) int { return p.Items[i].ends[l] * p.Items[i].sides[w] }
