package pack

// subset looks for sizes that fill a board best, in few nodes.
type subset struct {
	size       []int64
	take, best []bool
	slack      int64 // of best; to begin with, what it must be below
	nodes      int   // left
}

// subsetNodes is how many nodes one search has.
const subsetNodes = 500

// reset starts over without sizes; a slack is good when it is below the limit.
func (f *subset) reset(limit int64) {
	f.size, f.slack, f.nodes = f.size[:0], limit, subsetNodes
}

// search reports whether it found sizes with a slack below the limit.
func (f *subset) search(room int64) bool {
	f.take = append(f.take[:0], make([]bool, len(f.size))...)
	f.best = append(f.best[:0], f.take...)
	limit, rest := f.slack, int64(0)
	for _, s := range f.size {
		rest += s
	}
	f.descend(0, room, rest)
	return f.slack < limit
}

// descend decides on sizes from x on, which come to rest.
func (f *subset) descend(x int, room, rest int64) {
	for ; ; x++ {
		if f.nodes--; f.nodes < 0 || room-rest >= f.slack {
			return
		}
		if rest == 0 {
			f.slack = room
			copy(f.best, f.take)
			return
		}
		size := f.size[x]
		rest -= size
		if size <= room {
			f.take[x] = true
			f.descend(x+1, room-size, rest)
			f.take[x] = false
		}
	}
}
