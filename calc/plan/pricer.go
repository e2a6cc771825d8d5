package plan

import (
	"context"
	"encoding/binary"
	"errors"
	"slices"

	"resawd/calc/plan/colgen"
)

// pricer prices boards of three stages for the engine. It keeps the layout of
// every pattern it has given out.
type pricer struct {
	p       *problem
	tables  *tables
	ascent  *ascent
	layouts map[string]layout
}

// newPricer returns the pricer of a problem.
func newPricer(p *problem) *pricer {
	return &pricer{p, newTables(p), newAscent(p), map[string]layout{}}
}

// prices implements source.
func (p *pricer) prices() colgen.Pricer { return p }

// Price implements colgen.Pricer. The bounds are of boards whose billets each
// keep within the limits; the patterns keep within them as a whole.
func (r *pricer) Price(ctx context.Context, q colgen.Query) ([]colgen.Answer, int64, error) {
	answers := make([]colgen.Answer, len(r.p.kinds))
	before := r.work()
	r.tables.ask(q.Value, q.Limit)
	for k := range answers {
		if q.Floor[k] == colgen.NotWanted {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, r.work() - before, err
		}
		answers[k] = r.answer(k, q)
	}
	return answers, r.work() - before + 1, nil
}

// work returns the steps of work so far.
func (r *pricer) work() int64 { return r.tables.arena.work + r.ascent.b.t.arena.work }

// Rounds of ascent for a board, when the tightest bound is asked for and when
// a good pattern will do.
const (
	exactRounds = 30
	quickRounds = 6
)

// answer prices one kind of board.
func (r *pricer) answer(k int, q colgen.Query) colgen.Answer {
	bound, pieces := r.tables.board(r.p.kinds[k], r.p.kinds[k].segs)
	if r.tables.arena.full {
		bound = 0
		for i, n := range q.Limit {
			bound += q.Value[i] * int64(n)
		}
	}
	if bound <= q.Floor[k] || len(pieces) == 0 {
		return colgen.Answer{Bound: bound}
	}
	rounds := quickRounds
	if q.Exact {
		rounds = exactRounds
	}
	f := r.ascent.board(k, q.Value, q.Limit, rounds, q.Floor[k])
	a := colgen.Answer{Bound: min(bound, f.bound)}
	if f.worth > q.Floor[k] {
		sets := f.lay.pieces()
		a.Patterns = [][]colgen.Piece{sets}
		r.layouts[key(k, sets)] = f.lay
	}
	return a
}

// key names a pattern.
func key(k int, sets []colgen.Piece) string {
	b := binary.AppendVarint(nil, int64(k))
	for _, s := range sets {
		b = binary.AppendVarint(binary.AppendVarint(b, int64(s.Item)), int64(s.Count))
	}
	return string(b)
}

// Check implements colgen.Pricer: it looks for a layout that gives the pieces
// and checks that a board can be cut so.
func (r *pricer) Check(k int, sets []colgen.Piece) error {
	if _, ok := r.layout(k, sets); !ok {
		return errors.New("no layout is known for the pieces")
	}
	return nil
}

// layout returns a layout that gives at least the pieces.
func (r *pricer) layout(k int, sets []colgen.Piece) (layout, bool) {
	lay, ok := r.layouts[key(k, sets)]
	if ok {
		return lay, true
	}
	value, limit := make([]int64, len(r.p.items)), make([]int, len(r.p.items))
	for _, s := range sets {
		value[s.Item], limit[s.Item] = int64(r.p.items[s.Item].size), s.Count
	}
	lay = r.ascent.b.fill(k, value, limit)
	if !slices.Equal(lay.pieces(), sets) {
		return layout{}, false
	}
	r.layouts[key(k, sets)] = lay
	return lay, true
}
