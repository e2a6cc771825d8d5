package plan

import (
	"fmt"
	"strconv"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Limits of an order.
const (
	MaxSize     = length.Max
	MaxBoards   = 2_000
	MaxParts    = 2_000
	MaxQuantity = 1_000_000
	MaxLeaves   = 20_000          // copies of all parts together
	MaxPrice    = 200_000_000_000 // twenty million; with MaxLeaves boards, costs stay below 2^52
	MaxDefects  = 100             // of one board
)

// Validate returns every fault of an order, in the order of its fields: each
// a *Fault. An order without faults can be solved.
//
// Source: definition.
// Valid: sizes up to 100 m, 1 to 2 000 boards and parts, up to 20 000 copies.
func Validate(o Order) []error {
	f := &faults{}
	order := f.on(OfOrder, 0)
	in(order, "boards", len(o.Boards), 1, MaxBoards)
	in(order, "parts", len(o.Parts), 1, MaxParts)
	in(order, "kits", len(o.Kits), 0, MaxParts)
	if len(f.list) > 0 {
		return f.list
	}
	order.saw(o)
	order.work(o)
	for i, b := range o.Boards {
		f.on(OfBoard, i).board(b)
	}
	for i, p := range o.Parts {
		f.on(OfPart, i).part(p)
	}
	for i, k := range o.Kits {
		f.on(OfKit, i).kit(k, o.Parts)
	}
	if len(f.list) == 0 {
		f.copies(o)
		f.kitted(o)
		f.mixed(o)
	}
	return f.list
}

// faults gathers the faults of an order.
type faults struct{ list []error }

// checked is what is being checked: the order, or a board, a part or a kit of it.
type checked struct {
	*faults
	of    Subject
	index int
}

func (f *faults) on(s Subject, index int) checked { return checked{f, s, index} }

// in notes a value outside its limits.
func in[T fault.Value](c checked, field string, value, low, high T) {
	if err := fault.Within(field, value, low, high); err != nil {
		c.note(field, err)
	}
}

// mix notes a value that does not fit the others.
func (c checked) mix(field, reason string) { c.note(field, &Mixed{field, reason}) }

func (c checked) note(field string, err error) {
	c.list = append(c.list, &Fault{c.of, c.index, field, err})
}

// saw checks the sizes of cuts and the limits of the saw.
func (c checked) saw(o Order) {
	for _, s := range []struct {
		name  string
		value nm
	}{
		{"kerf", o.Kerf}, {"skim", o.Skim}, {"hold-back", o.HoldBack}, {"rip kerf", o.RipKerf},
		{"crosscut kerf", o.CrosscutKerf}, {"leaf kerf", o.LeafKerf}, {"end trim", o.EndTrim},
		{"length of the smallest billet", o.Smallest.Length}, {"width of the smallest billet", o.Smallest.Width},
		{"cutting height", o.Saw.CuttingHeight}, {"billet length", o.Saw.BilletLength},
		{"least skim", o.LeastSkim}, {"thickness margin", o.ThicknessMargin}, {"kerf margin", o.KerfMargin},
	} {
		in(c, s.name, s.value, 0, MaxSize)
	}
}

// work checks what passes and billets cost. A pass over the longest board costs no
// more than a board may.
func (c checked) work(o Order) {
	in(c, "pass price", int(o.PassPrice), 0, MaxPrice)
	in(c, "billet price", int(o.BilletPrice), 0, MaxPrice)
	if o.PassLength == (Rate{}) {
		return
	}
	in(c, "length of the pass length price", o.PassLength.Per, 1, MaxSize)
	per := o.PassLength.Per
	var longest nm
	for _, b := range o.Boards {
		longest = max(longest, b.Length)
	}
	most := MaxPrice
	if per > 0 && per < longest {
		most = int(float64(MaxPrice) * float64(per) / float64(longest))
	}
	in(c, "pass length price", int(o.PassLength.Price), 0, most)
}

// board checks the numbers of a board.
func (c checked) board(b Board) {
	in(c, "thickness", b.Thickness, 1, MaxSize)
	in(c, "width", b.Width, 0, MaxSize)
	in(c, "length", b.Length, 0, MaxSize)
	in(c, "quantity", b.Quantity, Unlimited, MaxQuantity)
	in(c, "price", int(b.Price), 0, MaxPrice)
	in(c, "bow", b.Bow, 0, MaxSize)
	in(c, "defects", len(b.Defects), 0, MaxDefects)
	for _, d := range b.Defects {
		in(c, "defects", d.From, 0, MaxSize)
		in(c, "defects", d.To, d.From, MaxSize)
	}
}

// part checks the numbers of a part.
func (c checked) part(p Part) {
	in(c, "thickness", p.Thickness, 1, MaxSize)
	in(c, "width", p.Width, 0, MaxSize)
	in(c, "length", p.Length, 0, MaxSize)
	in(c, "quantity", p.Quantity, 0, MaxQuantity)
	in(c, "matched", p.Matched, 0, MaxQuantity)
	in(c, "spare", p.Spare, 0, MaxQuantity)
	for _, n := range []struct {
		field string
		count int
	}{{"quantity", p.Quantity}, {"spare", p.Spare}} {
		if n.count%p.SetSize() != 0 {
			c.mix(n.field, fmt.Sprintf("%d is no whole number of matched sets of %d", n.count, p.Matched))
		}
	}
}

// kit checks the numbers of a kit. A part stands in it once, and one board gives all.
func (c checked) kit(k Kit, parts []Part) {
	in(c, "quantity", k.Quantity, 0, MaxQuantity)
	in(c, "parts", len(k.Parts), 1, MaxParts)
	seen, known := map[int]bool{}, true
	for _, kp := range k.Parts {
		in(c, "part", kp.Part, 0, len(parts)-1)
		in(c, "quantity of a part", kp.Quantity, 1, MaxQuantity)
		if kp.Part < 0 || kp.Part >= len(parts) {
			known = false
			continue
		}
		if seen[kp.Part] {
			c.mix("part", "part "+strconv.Itoa(kp.Part)+" stands in it twice")
		}
		seen[kp.Part] = true
		if n := parts[kp.Part].SetSize(); kp.Quantity%n != 0 {
			c.mix("quantity of a part", fmt.Sprintf("%d is no whole number of matched sets of %d", kp.Quantity, n))
		}
	}
	if !known {
		return
	}
	if j := k.Apart(parts); j != -1 {
		c.mix("part", "no board gives part "+strconv.Itoa(k.Parts[j].Part)+" and those before it")
	}
}

// kitted checks that what the kits take of a part is part of its quantity.
func (f *faults) kitted(o Order) {
	for i, p := range o.Parts {
		taken := 0
		for _, k := range o.Kits {
			for _, kp := range k.Parts {
				if kp.Part == i {
					taken += min(k.Quantity*kp.Quantity, MaxQuantity)
				}
			}
		}
		if taken > p.Quantity {
			f.on(OfPart, i).mix("quantity", fmt.Sprintf("the kits take %d of it, more than the quantity of %d", taken, p.Quantity))
		}
	}
}

// copies checks how many copies the order is for. It names the first part that
// is too much.
func (f *faults) copies(o Order) {
	total := 0
	for i, p := range o.Parts {
		total += p.Quantity + p.Spare
		if total > MaxLeaves {
			f.on(OfPart, i).mix("quantity", "up to this part the order is for "+strconv.Itoa(total)+" copies; at most "+strconv.Itoa(MaxLeaves)+" go into one plan")
			return
		}
	}
}

// mixed checks that widths and lengths are given for all or for none.
func (f *faults) mixed(o Order) {
	f.dimension(o, "width", func(b Board) nm { return b.Width }, func(p Part) nm { return p.Width })
	f.dimension(o, "length", func(b Board) nm { return b.Length }, func(p Part) nm { return p.Length })
	for i, b := range o.Boards {
		if len(b.Defects) > 0 && o.Parts[0].Length == 0 {
			f.on(OfBoard, i).mix("defects", "they can only be cut around when the parts have lengths")
		}
	}
}

// dimension checks one dimension: parts all or none, boards all or none, and
// boards where parts have it.
func (f *faults) dimension(o Order, name string, ofBoard func(Board) nm, ofPart func(Part) nm) {
	parts := ofPart(o.Parts[0]) > 0
	for i, p := range o.Parts {
		if (ofPart(p) > 0) != parts {
			f.on(OfPart, i).mix(name, "give it for all parts or for none")
		}
	}
	boards := ofBoard(o.Boards[0]) > 0
	for i, b := range o.Boards {
		switch has := ofBoard(b) > 0; {
		case has != boards:
			f.on(OfBoard, i).mix(name, "give it for all boards or for none")
		case parts && !has:
			f.on(OfBoard, i).mix(name, "the parts have one")
		}
	}
}
