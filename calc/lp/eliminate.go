package lp

import (
	"math"
	"slices"
)

// elimination is the state of making a factor: what is left of the matrix, by
// rows, and where the columns have entries.
type elimination struct {
	at     [][]int32 // places of the entries of each row
	val    [][]float64
	rows   [][]int32 // rows of the entries of each place
	open   []bool    // places not done
	single struct{ rows, places []int32 }
	where  []int32 // scratch: of a place, its entry in a row and one more
	f      *factor
}

// What makes a pivot.
//
// Source: common practice of threshold pivoting, which keeps entries from growing.
const (
	singularTol = 1e-9 // a column without a larger entry depends on others
	growth      = 0.1  // a pivot is at least that much of the largest in its column
)

// eliminate makes the factor of m columns, given by their rows and values. When
// columns depend on each other it returns rows and places left over, and the
// factor is of no use: it takes unit columns of those rows in those places.
func (f *factor) eliminate(m int, column func(place int) ([]int32, []float64)) (rows, places []int32) {
	e := newElimination(f, m, column)
	for {
		row, place := e.choose()
		if place < 0 {
			break
		}
		if row < 0 {
			e.drop(place)
			continue
		}
		e.take(row, place)
	}
	if len(f.pivot) < m {
		return e.leftOver(m)
	}
	f.transpose(m)
	return nil, nil
}

func newElimination(f *factor, m int, column func(place int) ([]int32, []float64)) *elimination {
	f.start()
	e := &elimination{at: make([][]int32, m), val: make([][]float64, m), rows: make([][]int32, m),
		open: make([]bool, m), where: make([]int32, m), f: f}
	count, all := make([]int, m), 0
	for q := range m {
		rows, _ := column(q)
		all += len(rows)
		for _, r := range rows {
			count[r]++
		}
	}
	at, val, of := make([]int32, all), make([]float64, all), make([]int32, all)
	for r, n := range count {
		e.at[r], e.val[r], at, val = at[:0:n], val[:0:n], at[n:], val[n:]
	}
	for q := range m {
		e.open[q] = true
		rows, vals := column(q)
		e.rows[q], of = of[:0:len(rows)], of[len(rows):]
		for x, r := range rows {
			if vals[x] != 0 {
				e.at[r], e.val[r] = append(e.at[r], int32(q)), append(e.val[r], vals[x])
				e.rows[q] = append(e.rows[q], r)
			}
		}
	}
	for q := range m {
		e.lookPlace(int32(q))
		e.lookRow(int32(q))
	}
	return e
}

func (e *elimination) lookPlace(q int32) {
	if len(e.rows[q]) == 1 {
		e.single.places = append(e.single.places, q)
	}
}

func (e *elimination) lookRow(r int32) {
	if len(e.at[r]) == 1 {
		e.single.rows = append(e.single.rows, r)
	}
}

// choose picks a pivot: a column or a row with one entry, otherwise of the
// column with fewest entries the row with fewest. No place says that all are
// done, no row that the column has no entry of any size.
func (e *elimination) choose() (row, place int32) {
	for s := &e.single; len(s.places) > 0; {
		q := s.places[len(s.places)-1]
		s.places = s.places[:len(s.places)-1]
		if e.open[q] && len(e.rows[q]) == 1 {
			if r := e.rows[q][0]; math.Abs(e.value(r, q)) > singularTol {
				return r, q
			}
		}
	}
	for s := &e.single; len(s.rows) > 0; {
		r := s.rows[len(s.rows)-1]
		s.rows = s.rows[:len(s.rows)-1]
		if len(e.at[r]) == 1 {
			if q := e.at[r][0]; e.open[q] && e.fine(r, q) {
				return r, q
			}
		}
	}
	place = -1
	for q := range e.open {
		if e.open[q] && (place < 0 || len(e.rows[q]) < len(e.rows[place])) {
			place = int32(q)
		}
	}
	e.f.work += int64(len(e.open) / 4)
	if place < 0 {
		return -1, -1
	}
	return e.rowOf(place), place
}

// value is an entry.
func (e *elimination) value(row, place int32) float64 {
	for x, q := range e.at[row] {
		if q == place {
			return e.val[row][x]
		}
	}
	return 0
}

// largest is the largest entry of a column.
func (e *elimination) largest(place int32) float64 {
	most := 0.0
	for _, r := range e.rows[place] {
		most = max(most, math.Abs(e.value(r, place)))
	}
	return most
}

// fine reports whether an entry is large enough for a pivot.
func (e *elimination) fine(row, place int32) bool {
	return math.Abs(e.value(row, place)) >= max(growth*e.largest(place), singularTol)
}

// rowOf picks the row of fewest entries, of those with a large enough value.
func (e *elimination) rowOf(place int32) int32 {
	best, least := int32(-1), max(growth*e.largest(place), singularTol)
	for _, r := range e.rows[place] {
		if (best < 0 || len(e.at[r]) < len(e.at[best])) && math.Abs(e.value(r, place)) >= least {
			best = r
		}
	}
	return best
}

// drop leaves a column out that depends on others.
func (e *elimination) drop(place int32) {
	e.open[place] = false
	for _, r := range e.rows[place] {
		e.remove(r, place)
		e.lookRow(r)
	}
	e.rows[place] = nil
}

// remove takes an entry out of its row and returns it.
func (e *elimination) remove(row, place int32) float64 {
	at, val := e.at[row], e.val[row]
	for x, q := range at {
		if q == place {
			v, last := val[x], len(at)-1
			at[x], val[x] = at[last], val[last]
			e.at[row], e.val[row] = at[:last], val[:last]
			return v
		}
	}
	return 0
}

// take makes an entry the next pivot and clears the rest of its column.
func (e *elimination) take(row, place int32) {
	v := e.remove(row, place)
	e.open[place] = false
	for _, q := range e.at[row] {
		e.rows[q] = without(e.rows[q], row)
		e.lookPlace(q)
	}
	for _, r := range e.rows[place] {
		if r != row {
			t := e.remove(r, place) / v
			e.f.lower.put(r, t)
			e.subtract(r, row, t)
			e.lookRow(r)
		}
	}
	e.rows[place] = nil
	for x, q := range e.at[row] {
		e.f.byRow.put(q, e.val[row][x])
	}
	e.at[row], e.val[row] = nil, nil
	e.f.lower.close()
	e.f.byRow.close()
	e.f.pivot = append(e.f.pivot, pivot{row, place, v})
}

// subtract takes t times the row of the pivot off a row.
func (e *elimination) subtract(row, pivot int32, t float64) {
	if len(e.at[pivot]) == 0 {
		return
	}
	for x, q := range e.at[row] {
		e.where[q] = int32(x + 1)
	}
	known := len(e.at[row])
	for x, q := range e.at[pivot] {
		d := t * e.val[pivot][x]
		if w := e.where[q]; w > 0 {
			e.val[row][w-1] -= d
			continue
		}
		e.at[row], e.val[row] = append(e.at[row], q), append(e.val[row], -d)
		e.rows[q] = append(e.rows[q], row)
	}
	for _, q := range e.at[row][:known] {
		e.where[q] = 0
	}
	e.f.work += int64(2*known + 2*len(e.at[pivot]))
}

// leftOver is the rows and places without a pivot.
func (e *elimination) leftOver(m int) (rows, places []int32) {
	done := make([][2]bool, m)
	for _, p := range e.f.pivot {
		done[p.row][0], done[p.place][1] = true, true
	}
	for i, d := range done {
		if !d[0] {
			rows = append(rows, int32(i))
		}
		if !d[1] {
			places = append(places, int32(i))
		}
	}
	return rows, places
}

// transpose lists what byRow holds by place.
func (f *factor) transpose(m int) {
	turn := make([]int32, m) // of a place, its pivot
	count := make([]int32, m+1)
	for k, p := range f.pivot {
		turn[p.place] = int32(k)
	}
	for _, q := range f.byRow.at {
		count[turn[q]+1]++
	}
	for k := range m {
		count[k+1] += count[k]
	}
	f.byPlace = sparse{append(f.byPlace.start[:0], count...), grown(f.byPlace.at, len(f.byRow.at)), grown(f.byPlace.val, len(f.byRow.at))}
	for k, p := range f.pivot {
		at, val := f.byRow.vector(k)
		for x, q := range at {
			to := count[turn[q]]
			count[turn[q]]++
			f.byPlace.at[to], f.byPlace.val[to] = p.row, val[x]
		}
	}
	f.work += int64(3 * len(f.byRow.at))
}

// grown is a slice of length n, in the same memory where that is enough.
func grown[T any](s []T, n int) []T { return slices.Grow(s[:0], n)[:n] }

// without removes an element from a list, whose order does not matter.
func without[T comparable](list []T, v T) []T {
	for x, w := range list {
		if w == v {
			list[x] = list[len(list)-1]
			return list[:len(list)-1]
		}
	}
	return list
}
