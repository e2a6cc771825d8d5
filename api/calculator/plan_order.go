package calculator

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"resawd/api/endpoint"
	"resawd/api/shop"
	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// planOrder fills in what a request leaves out, and makes its order. Faults of the
// order are noted.
func planOrder(c *endpoint.Call, q *PlanRequest) plan.Order {
	saw := planDefaults(c, q)
	q.nameAll(c)
	o := plan.Order{
		Boards: make([]plan.Board, len(q.Boards)), Parts: make([]plan.Part, len(q.Parts)),
		Kerf: *q.Kerf, Skim: *q.Skim, HoldBack: *q.HoldBack, RipKerf: *q.RipKerf, CrosscutKerf: *q.CrosscutKerf, LeafKerf: *q.LeafKerf,
		EndTrim: *q.EndTrim, ThicknessMargin: *q.ThicknessMargin, KerfMargin: *q.KerfMargin,
		LeastSkim: dial.Screw{Lead: *saw.Lead, DivisionsPerTurn: *saw.DivisionsPerTurn}.Distance(1),
		PassPrice: int64(*q.PassPrice), PassLength: plan.Rate{Price: int64(*q.PassLengthPrice), Per: c.Unit}, BilletPrice: int64(*q.BilletPrice),
		Smallest: plan.Face{Length: *q.SmallestBillet.Length, Width: *q.SmallestBillet.Width},
	}
	if q.Saw != nil {
		o.Saw = plan.Saw{CuttingHeight: *saw.CuttingHeight, BilletLength: *saw.RailLength / 2}
	}
	for i := range q.Boards {
		o.Boards[i] = q.Boards[i].board()
	}
	for i := range q.Parts {
		o.Parts[i] = q.Parts[i].part()
	}
	o.Kits = q.kits(c, o.Parts)
	checkDefects(c, q)
	if q.checkPrices(c); c.Checked() != nil {
		return o
	}
	for _, err := range plan.Validate(o) {
		planFault(c, err)
	}
	return o
}

// checkDefects refuses defects that end before they begin.
func checkDefects(c *endpoint.Call, q *PlanRequest) {
	for i := range q.Boards {
		for j, d := range q.Boards[i].Defects {
			if *d.To < *d.From {
				path := fmt.Sprintf("boards.%d.defects.%d.to", i, j)
				c.Refuse(path, "out_of_range", fmt.Sprintf("must be at least from, which is %s; %s was given", c.ShowAs(path, *d.From), c.ShowAs(path, *d.To)))
			}
		}
	}
}

// planDefaults sets absent fields to their values in the shop, or to fixed ones. A saw
// that the request does not name lends its blade, but not its limits.
func planDefaults(c *endpoint.Call, q *PlanRequest) *shop.Saw {
	saw, blade := machine(c, &q.Settings)
	q.Blade = &blade.Name
	fillKerf(c, blade, &q.Kerf, &q.KerfBasis)
	fillKerfMargin(c, q.KerfBasis, &q.KerfMargin)
	if q.LeafKerf == nil {
		q.LeafKerf = q.Kerf
	}
	fillHoldBack(c, &q.Fixing, &q.HoldBack)
	if small := &q.SmallestBillet; small.Length == nil || small.Width == nil {
		orDefault(&small.Length, *c.Shop.SmallestBillet.Length)
		orDefault(&small.Width, *c.Shop.SmallestBillet.Width)
		c.FromShop("smallest_billet", nil)
	}
	planTime(c, q)
	return saw.Saw
}

// checkPrices refuses prices of work beside boards that have none: they would be
// weighed against a board's price of 1.
func (q *PlanRequest) checkPrices(c *endpoint.Call) {
	work := *q.PassPrice + *q.PassLengthPrice + *q.BilletPrice
	for i := range q.Boards {
		if work > 0 && q.Boards[i].Price == nil {
			c.Refuse(fmt.Sprintf("boards.%d.price", i), "required", "is missing: where passes or mounted billets have a price, each board has its own")
		}
	}
}

// longestTime is the longest time limit that a request may ask for, of a service or of any.
func longestTime(c *endpoint.Call) time.Duration {
	if c != nil && c.Search.LongestLimit > 0 {
		return c.Search.LongestLimit
	}
	return maxPlanTime
}

// TimeIsLongest reports whether the search had the longest time that a request may ask for.
func (a *PlanAnswer) TimeIsLongest() bool {
	return *a.Used.TimeLimitSeconds >= longestTime(a.call).Seconds()
}

// planTime fills in the time limit. The service may allow less than a request may ask
// for; the command line may set another limit.
func planTime(c *endpoint.Call, q *PlanRequest) {
	longest := longestTime(c)
	orDefault(&q.TimeLimitSeconds, min(DefaultPlanTime, longest).Seconds())
	if c.Search.TimeLimit > 0 {
		*q.TimeLimitSeconds = c.Search.TimeLimit.Seconds()
	} else if most := longest.Seconds(); *q.TimeLimitSeconds > most {
		c.Refuse("time_limit_seconds", "out_of_range", fmt.Sprintf("must be at most %g, the limit of this service; %g was given", most, *q.TimeLimitSeconds))
	}
}

// nameAll names boards, parts and kits that have no name, and refuses a name that two
// have: the plan speaks of them by name.
func (q *PlanRequest) nameAll(c *endpoint.Call) {
	nameEntries(c, "boards", len(q.Boards), func(i int) **string { return &q.Boards[i].Name })
	nameEntries(c, "parts", len(q.Parts), func(i int) **string { return &q.Parts[i].Name })
	nameEntries(c, "kits", len(q.Kits), func(i int) **string { return &q.Kits[i].Name })
}

// nameEntries is nameAll for the entries of a list.
func nameEntries(c *endpoint.Call, list string, n int, nameOf func(i int) **string) {
	taken := make(map[string]int, n)
	for i := range n {
		name := nameOf(i)
		orDefault(name, fmt.Sprintf("%s %d", strings.TrimSuffix(list, "s"), i+1))
		if first, ok := taken[**name]; ok {
			c.Refuse(fmt.Sprintf("%s.%d.name", list, i), "conflict", fmt.Sprintf("is %q as that of entry %d: give each its own, since the plan refers to them by name", **name, first+1))
			continue
		}
		taken[**name] = i
	}
}

func (b *PlanBoard) board() plan.Board {
	out := plan.Board{
		Name: *b.Name, Species: endpoint.ValueOr(b.Species, ""), Sawn: endpoint.ValueOr(b.Sawn, ""),
		Thickness: *b.Thickness, Width: endpoint.ValueOr(b.Width, 0), Length: endpoint.ValueOr(b.Length, 0),
		Quantity: endpoint.ValueOr(b.Quantity, plan.Unlimited), Price: int64(b.Cost()), Bow: *b.Bow,
	}
	for _, d := range b.Defects {
		out.Defects = append(out.Defects, plan.Defect{From: *d.From, To: *d.To})
	}
	return out
}

func (p *PlanPart) part() plan.Part {
	return plan.Part{
		Name: *p.Name, Species: endpoint.ValueOr(p.Species, ""), Sawn: endpoint.ValueOr(p.Sawn, ""),
		Thickness: *p.Thickness, Width: endpoint.ValueOr(p.Width, 0), Length: endpoint.ValueOr(p.Length, 0),
		Quantity: *p.Quantity, Matched: *p.Matched, Spare: *p.Spare, Divide: *p.Divide,
	}
}

// wired turns the trade's words for a field into its name.
var wired = strings.NewReplacer(" ", "_", "-", "_")

// planFault notes a fault of an order at its place in the request.
func planFault(c *endpoint.Call, err error) {
	var f *plan.Fault
	var out *fault.OutOfRange
	var mixed *plan.Mixed
	errors.As(err, &f) // every one is a fault
	path := wired.Replace(f.Field)
	if f.Of != plan.OfOrder {
		path = fmt.Sprintf("%ss.%d.%s", f.Of, f.Index, path)
	}
	switch {
	case errors.As(err, &out):
		if strings.HasSuffix(f.Field, "price") {
			out = inMoney(out)
		}
		c.RefuseRange(path, out)
	case errors.As(err, &mixed):
		c.Refuse(path, "conflict", "does not fit the others: "+mixed.Reason)
	}
}

// inMoney turns the amounts of a fault, which calc counts as plain numbers, into money.
func inMoney(e *fault.OutOfRange) *fault.OutOfRange {
	told := *e
	for _, v := range []*any{&told.Value, &told.Low, &told.High} {
		if amount, ok := (*v).(int); ok {
			*v = endpoint.Money(amount)
		}
	}
	return &told
}

// alternatives lists what to estimate beside the plan: thinner kerfs by the
// shop's own blades, and smaller hold-backs by its fixings.
func alternatives(c *endpoint.Call, q *PlanRequest) solver.Alternatives {
	var a solver.Alternatives
	for i := range c.Shop.Blades {
		a.Kerfs = addSmaller(a.Kerfs, *c.Shop.Blades[i].Kerf, *q.Kerf)
	}
	for i := range c.Shop.Fixings {
		a.HoldBacks = addSmaller(a.HoldBacks, *c.Shop.Fixings[i].HoldBack, *q.HoldBack)
	}
	if half := *q.HoldBack / 2; len(a.HoldBacks) == 0 && half > 0 {
		a.HoldBacks = append(a.HoldBacks, half)
	}
	return a
}

// addSmaller adds a length that is smaller than the one in use and not yet in
// the list.
func addSmaller(list []length.Length, l, used length.Length) []length.Length {
	for _, known := range list {
		if known == l {
			return list
		}
	}
	if l < used {
		list = append(list, l)
	}
	return list
}
