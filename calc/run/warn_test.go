package run

import (
	"reflect"
	"testing"

	"resawd/calc/blade"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/yield"
)

func TestWarnings(t *testing.T) {
	quiet := func(i *Input) { i.HoldBack = 125 * thou }
	whole := func(k Kind, value, limit any) []Warning { return []Warning{{k, -1, value, limit}} }
	for _, c := range []struct {
		name   string
		change func(*Input)
		want   []Warning
	}{
		{"none", func(*Input) {}, []Warning{}},
		{"at the smallest leaf", func(i *Input) { i.Habits.SmallestLeaf = 50 * thou }, []Warning{}},
		{"below the smallest leaf", func(i *Input) { i.Habits.SmallestLeaf = 50*thou + 1 },
			[]Warning{{BelowSmallestLeaf, 0, 50 * thou, 50*thou + 1}}},
		{"the smallest billet", func(i *Input) { i.Habits.ShortestBillet, i.Habits.LowestBillet = 36*in, 6*in }, []Warning{}},
		{"a short billet", func(i *Input) { i.Habits.ShortestBillet = 36*in + 1 }, whole(ShortBillet, 36*in, 36*in+1)},
		{"a low billet", func(i *Input) { i.Habits.LowestBillet = 6*in + 1 }, whole(LowBillet, 6*in, 6*in+1)},
		// 0.215 in stay; metal to 0.115 leaves 0.100.
		{"metal just clear", func(i *Input) { i.Metal, i.Habits.Clearance = 115*thou, 100*thou }, []Warning{}},
		{"metal near", func(i *Input) { i.Metal, i.Habits.Clearance = 115*thou, 100*thou+1 }, whole(NearMetal, 100*thou, 100*thou+1)},
		{"the least metal", func(i *Input) { i.Metal, i.Habits.Clearance = 1, 215*thou }, whole(NearMetal, 215*thou-1, 215*thou)},
		{"no metal", func(i *Input) { i.Habits.Clearance = in }, []Warning{}},
		{"a kerf as sure as the tolerance", func(i *Input) { i.KerfMargin, i.Tolerance = 5*thou, 5*thou }, []Warning{}},
		{"a kerf that is not", func(i *Input) { i.KerfMargin, i.Tolerance = 5*thou, 5*thou-1 }, whole(KerfUnsure, 5*thou, 5*thou-1)},
		// Advances of 94.6 divisions are set as 95, of 94.4 as 94.
		{"leaves as far off as the tolerance", func(i *Input) { i.Leaves[0].Thickness, i.Tolerance = 496*thou/10, 4*thou/10 }, []Warning{}},
		{"leaves too thick by the dial", func(i *Input) { i.Leaves[0].Thickness, i.Tolerance = 496*thou/10, 4*thou/10-1 },
			whole(DialCoarse, 4*thou/10, 4*thou/10-1)},
		{"leaves too thin by the dial", func(i *Input) { i.Leaves[0].Thickness, i.Tolerance = 494*thou/10, 4*thou/10-1 },
			whole(DialCoarse, 4*thou/10, 4*thou/10-1)},
		{"just on the hold-back", func(i *Input) { i.HoldBack = 215 * thou }, []Warning{}},
		// An advance a nanometre short of 95 divisions is set as 95.
		{"a nanometre into the hold-back", func(i *Input) { i.HoldBack, i.Leaves[0].Thickness, i.Tolerance = 215*thou+1, 50*thou-1, 1 },
			whole(DialOverrun, length.Length(1), thou/2)},
		{"no hold-back", func(i *Input) { i.HoldBack = 0 }, whole(NoHoldBack, nil, nil)},
		{"the rest needs no hold-back", func(i *Input) { i.HoldBack, i.LastLeaf = 0, yield.Rest }, []Warning{}},
		// Four divisions turned back, of which a backlash leaves one or none.
		{"a retract that moves the board", func(i *Input) { i.Retract, i.Saw.Backlash = 3*thou+1, 3*thou }, []Warning{}},
		{"a retract lost in the backlash", func(i *Input) { i.Retract, i.Saw.Backlash = 3*thou+1, 4*thou },
			whole(RetractLost, 3*thou+1, 4*thou)},
		{"the least retract", func(i *Input) { i.Retract, i.Saw.Backlash = 1, 4*thou }, whole(RetractLost, length.Length(1), 4*thou)},
		{"no retract", func(i *Input) { i.Saw.Backlash = thou }, []Warning{}},
		{"a board as thick as wide", func(i *Input) { i.Board.Width = i.Board.Thickness; i.Blade.TPI = 10 }, []Warning{}},
		{"a board thicker than wide", func(i *Input) { i.Board.Width = i.Board.Thickness - 1; i.Blade.TPI = 10 },
			whole(BoardThick, 500*thou, 500*thou-1)},
		{"a kerf of the blade's body", func(i *Input) { i.Blade.BodyThickness = 45 * thou }, []Warning{}},
		{"a kerf thinner than the blade's body", func(i *Input) { i.Blade.Kerf, i.Blade.BodyThickness = 46*thou, 45*thou+1 },
			whole(KerfThin, 45*thou, 45*thou+1)},
		{"the widest kerf", func(i *Input) { i.Board.Thickness, i.Kerf = in, 200*thou }, []Warning{}},
		{"a kerf too wide to be one", func(i *Input) { i.Board.Thickness, i.Kerf, i.Tolerance = in, 200*thou+1, 1 }, whole(KerfWide, 200*thou+1, 200*thou)},
		{"as fast as a hand", func(i *Input) { i.Feed, i.Blade.TPI = feed.Speed(240*in), 4 }, []Warning{}},
		{"faster than a hand", func(i *Input) { i.Feed, i.Blade.TPI = feed.Speed(240*in)+1, 4 },
			whole(FeedFast, feed.Speed(240*in)+1, feed.Speed(240*in))},
		{"half of it left", func(i *Input) { i.Board.Thickness, i.Skim, i.Leaves[0].Count = 190*thou, 0, 1; i.HoldBack = 0 },
			whole(NoHoldBack, nil, nil)},
		{"more than half of it left", func(i *Input) { i.Leaves[0].Count, i.Skim = 1, 0 }, whole(MuchLeft, 405*thou, 500*thou)},
		{"more than half of it left, as much as it gives", func(i *Input) { i.HoldBack, i.Skim = 310*thou, 0 }, []Warning{}},
		// 405 after the truing cut: 3 cuts leave 120, 2 leave 215.
		{"the rest is thick", func(i *Input) { i.HoldBack, i.LastLeaf, i.Leaves[0].Count = 0, yield.Rest, 3 },
			whole(RestThick, 215*thou, 50*thou)},
		{"the rest might just give two", func(i *Input) {
			i.HoldBack, i.LastLeaf, i.Leaves[0].Count, i.Board.Thickness = 0, yield.Rest, 3, 430*thou
		}, whole(RestThick, 145*thou, 50*thou)},
		{"the rest is just too thin for two", func(i *Input) {
			i.HoldBack, i.LastLeaf, i.Leaves[0].Count, i.Board.Thickness = 0, yield.Rest, 3, 430*thou-1
		}, []Warning{}},
		{"none of the last", func(i *Input) { i.Leaves = []Entry{{Thickness: 50 * thou, Count: 2}, {Thickness: thou, Matched: 4}} },
			[]Warning{{NoLeafOfEntry, 1, 0, 4}}},
		{"not one of the last set", func(i *Input) {
			i.Leaves = []Entry{{Thickness: 50 * thou, Count: 2}, {Thickness: 50 * thou, Matched: 2}}
		}, []Warning{{NoLeafOfEntry, 1, 0, 2}}},
		{"a set longer than cleaning", func(i *Input) { i.Leaves[0].Matched, i.Care.AfterCuts = 2, 1 },
			[]Warning{{SetOutlastsClean, 0, 2, 1}}},
		{"a set as long as cleaning", func(i *Input) { i.Leaves[0].Matched, i.Care.AfterCuts = 2, 2 }, []Warning{}},
		{"too fine", func(i *Input) { i.Blade.TPI = 8 }, whole(AgainstBlade, blade.Reason{Kind: blade.TeethTooFine, Value: 8.0, Limit: 6.0}, nil)},
		{"coarse for gum", func(i *Input) { i.Blade.TPI, i.Blade.Carbide, i.Blade.Form, i.Gum = 4, true, blade.Hook, blade.HighGum }, []Warning{}},
	} {
		s := compose(t, func(i *Input) { quiet(i); c.change(i) })
		if !reflect.DeepEqual(s.Warnings, c.want) {
			t.Errorf("%s: got %+v, want %+v", c.name, s.Warnings, c.want)
		}
	}
}

// TestOneJudgement: a run says of its blade what the blade calculator says, for
// every height, gum, feed and blade tried.
func TestOneJudgement(t *testing.T) {
	for _, height := range []length.Length{in, 3 * in, 6 * in, 8*in + 1} {
		for _, b := range []blade.Blade{
			{Width: in / 4, BodyThickness: 25 * thou, Kerf: 45 * thou, TPI: 10},
			{Width: in / 2, BodyThickness: 25 * thou, Kerf: 45 * thou, TPI: 6, Form: blade.Skip},
			{Width: in, BodyThickness: 25 * thou, Kerf: 45 * thou, TPI: 3, Form: blade.Hook, Carbide: true},
		} {
			for gum := blade.LowGum; gum <= blade.UnknownGum; gum++ {
				for _, f := range []feed.Speed{feed.Speed(10 * in), feed.Speed(30 * in)} {
					s := compose(t, func(i *Input) {
						i.Board.Width, i.Blade, i.Gum, i.Feed, i.Saw.WidestBlade = height, b, gum, f, 3*in/4
					})
					want, err := blade.Judge(b, blade.Cut{StockHeight: height, LeafThickness: 50 * thou, Feed: f, Gum: gum, WidestBlade: 3 * in / 4})
					var against, said []blade.Reason
					for _, r := range want.Reasons {
						if r.Kind.Against() {
							against = append(against, r)
						}
					}
					for _, w := range s.Warnings {
						if w.Kind == AgainstBlade {
							said = append(said, w.Value.(blade.Reason))
						}
					}
					if err != nil || s.Summary.BladeSuits != want.Suits || !reflect.DeepEqual(said, against) {
						t.Errorf("%v high, gum %v, feed %v, %+v: the run says %v, %v, the blade calculator %v, %v, %v", height, gum, f, b, s.Summary.BladeSuits, said, want.Suits, against, err)
					}
				}
			}
		}
	}
}
