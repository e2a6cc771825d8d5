package outright

import (
	"cmp"
	"slices"
)

// Memory allowed to the lists: entries in one, and steps that led to all.
const (
	maxListed = 1 << 18
	maxSteps  = 1 << 20
)

// row lists what pieces side by side give: by the place where the next one may begin.
type row struct {
	e    *enumerator
	at   map[nm][]entry
	kerf nm
}

// begin moves everything that ends before a place there: no piece begins before it.
func (r *row) begin(from nm) {
	for _, at := range r.places() {
		if at < from {
			r.at[from] = append(r.at[from], r.at[at]...)
			delete(r.at, at)
		}
	}
	r.at[from] = r.e.undominated(r.at[from])
}

// places returns where a next piece may begin, rising.
func (r *row) places() []nm {
	var all []nm
	for at := range r.at {
		all = append(all, at)
	}
	slices.Sort(all)
	return all
}

// add adds any number of pieces of a class, each cut in one of some ways, as far as
// they end by the end of the room.
func (r *row) add(class int32, size, end nm, ways []entry) {
	if len(ways) == 0 {
		return
	}
	places := r.places()
	for n := 0; n < len(places) && places[n]+size <= end; n++ {
		at, next := places[n], places[n]+size+r.kerf
		list, known := r.at[next]
		for _, x := range r.at[at] {
			r.e.budget -= len(ways)
			if r.e.budget < 0 {
				return
			}
			for way, y := range ways {
				if give := r.e.f.plus(x.give, y.give); give != x.give && x.work+y.work <= r.e.most {
					list = append(list, entry{give, x.work + y.work, x.from, piece{class, int32(way)}})
				}
			}
			if len(list) > maxListed {
				list = r.e.undominated(list)
			}
			if len(list) > maxListed || len(r.e.steps) > maxSteps {
				r.e.p.Full, r.e.budget = true, -1
				return
			}
		}
		if len(list) == 0 {
			continue // all that is wanted was given before
		}
		list = r.e.undominated(list)
		for i, x := range list {
			if x.last.class >= 0 {
				list[i] = r.e.settled(x, at)
			}
		}
		if r.at[next] = list; !known {
			i, _ := slices.BinarySearch(places, next)
			places = slices.Insert(places, i, next)
		}
	}
}

// all returns all that was listed.
func (r *row) all() []entry {
	var all []entry
	for _, at := range r.places() {
		all = append(all, r.at[at]...)
	}
	return r.e.undominated(all)
}

// settled notes how an entry came about.
func (e *enumerator) settled(x entry, at nm) entry {
	e.steps = append(e.steps, step{x.from, x.last, at})
	return entry{x.give, x.work, int32(len(e.steps) - 1), piece{-1, -1}}
}

// undominated keeps the entries that no other outdoes, the first of equals: none gives
// as much of everything for no more work.
func (e *enumerator) undominated(all []entry) []entry {
	if len(all) < 2 {
		return all
	}
	if pairs, cells := len(all)*len(all)/16, 3*e.f.size*len(e.f.limit); pairs > cells {
		e.budget -= cells
		return e.sieved(all)
	}
	slices.SortStableFunc(all, func(x, y entry) int { // what covers another stands before it
		return cmp.Or(cmp.Compare(x.work, y.work), cmp.Compare(y.give, x.give))
	})
	kept := all[:0]
	for _, x := range all {
		e.budget -= 1 + len(kept)/8
		if !slices.ContainsFunc(kept, func(y entry) bool { return e.f.covers(y.give, x.give) }) {
			kept = append(kept, x)
		}
	}
	return kept
}

// sieved is undominated by way of a table of all that can be given.
func (e *enumerator) sieved(all []entry) []entry {
	if e.least == nil {
		e.least = make([]int64, e.f.size)
	}
	for n := range e.least {
		e.least[n] = never
	}
	for _, x := range all {
		n := e.f.number(x.give)
		e.least[n] = min(e.least[n], 2*x.work+1)
	}
	for i, base := range e.f.base {
		for n := len(e.least) - 1; n >= 0; n-- {
			if n/base%(e.f.limit[i]+1) < e.f.limit[i] {
				e.least[n] = min(e.least[n], e.least[n+base])
			}
		}
	}
	kept := all[:0]
	for _, x := range all {
		if n := e.f.number(x.give); e.least[n] == 2*x.work+1 && !e.outdone(x, n) {
			kept = append(kept, x)
			e.least[n]-- // the next one like it is not kept
		}
	}
	return kept
}

// outdone tells whether something gives more than an entry for no more work.
func (e *enumerator) outdone(x entry, n int) bool {
	for i, base := range e.f.base {
		if e.f.count(x.give, i) < e.f.limit[i] && e.least[n+base] <= 2*x.work+1 {
			return true
		}
	}
	return false
}
