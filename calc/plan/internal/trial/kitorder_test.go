package trial

import (
	"testing"

	"resawd/calc/plan"
)

// TestKitOrder: the plan that comes with an order with kits delivers it, by the checker.
func TestKitOrder(t *testing.T) {
	for seed := range uint64(Rounds(200)) {
		for _, size := range []KitSize{{5, 2, 3}, {10, 4, 10}, {20, 6, 20}, {40, 12, 30}} {
			o, p := KitOrder(seed, size)
			kits := 0
			for _, k := range o.Kits {
				kits += k.Quantity
			}
			if len(o.Kits) != size.Kinds || kits != size.Kits {
				t.Fatalf("seed %d: %d kits of %d kinds, not %+v", seed, kits, len(o.Kits), size)
			}
			if faults := plan.Validate(o); len(faults) > 0 {
				t.Fatalf("seed %d: %v", seed, faults)
			}
			if err := plan.Check(o, p); err != nil {
				t.Fatalf("seed %d: %v\n%+v\n%+v", seed, err, o, p)
			}
			n := 0
			for _, p := range o.Parts {
				n += p.Quantity
			}
			t.Logf("%+v: %d boards, %d leaves", size, len(p.Taken), n)
		}
	}
}
