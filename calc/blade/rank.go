package blade

import (
	"sort"

	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// Goal is what matters most in a cut.
type Goal int

// The goals.
const (
	Finish Goal = iota
	Recovery
	Speed
)

// Form is the form of a blade's teeth.
type Form int

// The forms of teeth.
const (
	Regular Form = iota
	Skip
	Hook
)

// The least width of a blade: in general, and for tall stock.
//
// Source: common practice; 3/4 in from memory.
const (
	usualWidth = length.Inch / 2
	tallWidth  = 3 * length.Inch / 4
)

// Blade is one blade.
type Blade struct {
	Name          string
	Width         length.Length
	BodyThickness length.Length
	Kerf          length.Length
	TPI           float64
	Form          Form
	Carbide       bool // carbide-tipped
}

// Ranked is a blade with what speaks for and against it.
type Ranked struct {
	Blade
	Suits   bool     // its teeth are not too fine, its width is right
	Score   float64  // 0 to 1, above 0.5 for those that suit (package comment)
	Reasons []Reason // in the order of their kinds
	Loss    float64  // kerf / (kerf + leaf): the wood that becomes dust
}

// Kind is the kind of a reason.
type Kind int

// The kinds of a reason, with its Value and its Limit.
const (
	TeethRight    Kind = iota // teeth per inch (float64), -
	TeethTooFine              // teeth per inch, the most that suit (float64)
	TeethCoarse               // teeth per inch, the fewest of the row (float64)
	WidthRight                // width (length.Length), the least that suits
	WidthTooSmall             // width, the least that suits (length.Length)
	WidthTooLarge             // width, the most that the saw takes (length.Length)
	FormClogs                 // gummy wood wants skip or hook teeth; form, -
	FormRough                 // a crosscut wants regular teeth; form, -
	CarbideRough              // carbide where the wood is not gummy; -, -
	CarbideWanted             // no carbide where the wood is gummy; -, -
	KerfLost                  // Loss (float64), -
)

// Reason is one thing that speaks for or against a blade.
type Reason struct {
	Kind         Kind
	Value, Limit any // as the kind says; nil where it says none
}

// Against reports whether the reason speaks against the blade.
//
// Source: definition.
func (k Kind) Against() bool {
	return k != TeethRight && k != WidthRight && k != KerfLost
}

// Forbids reports whether a blade does not suit for that reason alone.
//
// Source: common practice (package comment).
func (k Kind) Forbids() bool {
	return k == TeethTooFine || k == WidthTooSmall || k == WidthTooLarge
}

// Judge gives what speaks for and against one blade.
//
// Source: as [Rank].
// Valid: as [Rank].
func Judge(b Blade, cut Cut) (Ranked, error) {
	ranking, err := Rank([]Blade{b}, cut)
	if err != nil {
		return Ranked{}, err
	}
	return ranking[0], nil
}

// Rank orders blades for a cut by their scores, the highest and so those that suit
// first; equal scores by name.
//
// Source: common practice (package comment); the weights of the score are this
// package's own.
// Valid: a cut that [TeethPerInch] takes; 0 < leaf thickness <=
// length.Max; for each blade 0 < width, 0 < body thickness <= kerf <= length.Max
// and 0.1 <= teeth per inch <= 100.
func Rank(blades []Blade, cut Cut) ([]Ranked, error) {
	teeth, err := TeethPerInch(cut.StockHeight, cut.Operation, cut.Gum, cut.Feed)
	if err := fault.First(err, cut.check()); err != nil {
		return nil, err
	}
	ranking := make([]Ranked, 0, len(blades))
	for _, b := range blades {
		if err := b.check(); err != nil {
			return nil, err
		}
		ranking = append(ranking, judge(b, cut, teeth))
	}
	sort.SliceStable(ranking, func(i, j int) bool { return ranking[i].before(ranking[j]) })
	return ranking, nil
}

// before reports whether a blade comes before another in a ranking.
func (r Ranked) before(other Ranked) bool {
	if r.Score != other.Score {
		return r.Score > other.Score
	}
	return r.Name < other.Name
}

func (b Blade) check() error {
	return fault.First(
		fault.Above("blade width", b.Width, 0, length.Max),
		fault.Above("body thickness", b.BodyThickness, 0, length.Max),
		fault.Within("kerf", b.Kerf, b.BodyThickness, length.Max),
		fault.Within("tpi", b.TPI, feed.MinTPI, feed.MaxTPI),
		fault.Within("tooth form", int(b.Form), int(Regular), int(Hook)),
	)
}
