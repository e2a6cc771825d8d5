package instance

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// Divided is an order in the words of the API with its least cost.
type Divided struct {
	Name, Family, Units string
	Cuts                struct {
		Kerf            number
		Skim            number
		HoldBack        number  `json:"hold_back"`
		RipKerf         *number `json:"rip_kerf"`
		CrosscutKerf    *number `json:"crosscut_kerf"`
		LeafKerf        *number `json:"leaf_kerf"`
		EndTrim         number  `json:"end_trim"`
		PassPrice       number  `json:"pass_price"`
		PassLengthPrice number  `json:"pass_length_price"`
		BilletPrice     number  `json:"billet_price"`
	}
	Boards []struct {
		Name, Species, Sawn      string
		Thickness, Width, Length number
		Quantity                 *int
		Price                    *number
	}
	Parts []struct {
		Name, Species, Sawn      string
		Thickness, Width, Length number
		Quantity, Matched, Spare int
		Divide                   *bool
	}
	Kits []struct {
		Name     string
		Quantity int
		Parts    []struct {
			Part     string
			Quantity int
		}
	}
	Optimum   number
	Undivided *number   `json:"undivided_optimum"`
	Smallest  [2]number // the largest billet's size that leaves the optimum as it is
}

// number is a length or an amount, in the order's own unit.
type number float64

// ReadDivided reads a list of orders.
func ReadDivided(raw []byte) ([]Divided, error) {
	var all []Divided
	err := json.Unmarshal(raw, &all)
	return all, err
}

// Price returns an amount in the unit of [plan.Board].Price.
func Price(x number) int64 { return int64(math.Round(float64(x) * 10_000)) }

// Order returns the order with what the design gives to absent fields: kerfs of the
// unit, a leaf kerf like the kerf, price 1, parts that may be divided.
func (d Divided) Order() (plan.Order, error) {
	unit, rip := length.Inch, number(0.125)
	if d.Units == "mm" {
		unit, rip = length.Millimetre, 3.2
	}
	size := func(x number) length.Length { return length.Length(math.Round(float64(x) * float64(unit))) }
	c := d.Cuts
	o := plan.Order{Kerf: size(c.Kerf), Skim: size(c.Skim), HoldBack: size(c.HoldBack), EndTrim: size(c.EndTrim),
		RipKerf: size(or(c.RipKerf, rip)), CrosscutKerf: size(or(c.CrosscutKerf, rip)), LeafKerf: size(or(c.LeafKerf, c.Kerf)),
		PassPrice: Price(c.PassPrice), BilletPrice: Price(c.BilletPrice)}
	if c.PassLengthPrice > 0 {
		o.PassLength = plan.Rate{Price: Price(c.PassLengthPrice), Per: unit}
	}
	for _, b := range d.Boards {
		o.Boards = append(o.Boards, plan.Board{Name: b.Name, Species: b.Species, Sawn: b.Sawn, Thickness: size(b.Thickness),
			Width: size(b.Width), Length: size(b.Length), Quantity: or(b.Quantity, plan.Unlimited), Price: Price(or(b.Price, 1))})
	}
	for _, p := range d.Parts {
		o.Parts = append(o.Parts, plan.Part{Name: p.Name, Species: p.Species, Sawn: p.Sawn, Thickness: size(p.Thickness), Width: size(p.Width),
			Length: size(p.Length), Quantity: p.Quantity, Matched: p.Matched, Spare: p.Spare, Divide: or(p.Divide, true)})
	}
	err := d.kits(&o)
	return o, err
}

// kits adds the kits, whose parts are told by name.
func (d Divided) kits(o *plan.Order) error {
	for _, k := range d.Kits {
		kit := plan.Kit{Name: k.Name, Quantity: k.Quantity}
		for _, kp := range k.Parts {
			i := slices.IndexFunc(o.Parts, func(p plan.Part) bool { return p.Name == kp.Part })
			if i < 0 {
				return fmt.Errorf("%s: no part %q", d.Name, kp.Part)
			}
			kit.Parts = append(kit.Parts, plan.KitPart{Part: i, Quantity: kp.Quantity})
		}
		o.Kits = append(o.Kits, kit)
	}
	return nil
}

// or returns what a pointer points at, or a default.
func or[T any](p *T, absent T) T {
	if p == nil {
		return absent
	}
	return *p
}
