package gauge

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Interval is an estimate with its confidence interval.
type Interval struct{ Estimate, Low, High length.Length }

// Ratio is an estimate of a plain number with its confidence interval.
type Ratio struct{ Estimate, Low, High float64 }

// Limits of a confidence: that of a coin, and more than any shop measures.
const (
	minConfidence = 0.5
	maxConfidence = 0.9999
)

func checkConfidence(c float64) error {
	return fault.Within("confidence", c, minConfidence, maxConfidence)
}

// widestScale is the half-width of an interval above which no scale is given: a screw
// that is off by that much could be told with a rule.
const widestScale = 0.02

// A scale outside these is not that of a screw: the leaves were not made by the
// advances given for them.
const (
	lowestScale  = 0.5
	highestScale = 2
)

// NoScale says why no scale is given.
type NoScale int

// The reasons.
const (
	ScaleTold     NoScale = iota
	NoAdvances            // none were given
	FewLeaves             // under three
	AdvancesAlike         // kerf and scale cannot be told apart
	ScaleUnsure           // the interval is wider than plus or minus 2 %
	ScaleAbsurd           // not that of a screw, or with a kerf below 0 beside it
)

// Series is consecutive leaves of one board, in the order of sawing.
type Series struct {
	Leaves     []length.Length // the mean thickness of each
	Advances   []length.Length // what the dial moved for each; none: not known, but alike
	Step       length.Length   // the smallest step that the caliper shows
	Confidence float64         // of the intervals
}

func (s Series) check() error {
	if err := fault.First(
		fault.Within("leaf count", len(s.Leaves), 2, MaxLeaves),
		fault.Within("step", s.Step, 0, maxThickness),
		checkConfidence(s.Confidence),
	); err != nil {
		return err
	}
	if n := len(s.Advances); n != 0 && n != len(s.Leaves) {
		return &fault.NoSolution{Quantity: "advances", Value: n, Needed: len(s.Leaves), Why: "one a leaf"}
	}
	for _, l := range s.Leaves {
		if err := fault.Above("leaf thickness", l, 0, maxThickness); err != nil {
			return err
		}
	}
	for i, a := range s.Advances {
		if err := fault.Above("advance", a, 0, maxThickness); err != nil {
			return err
		}
		if err := fault.Above("leaf thickness", s.Leaves[i], 0, a); err != nil {
			return &fault.Entry{List: "readings", Index: i, Err: fault.Because(err, "the advance that made it")}
		}
	}
	return nil
}

// Fit is what the leaves tell of the saw.
type Fit struct {
	FaceSD      length.Length // standard deviation of a face's error
	LeafSD      length.Length // that of a leaf: sqrt(2) times as much
	Leaf        Interval      // the thickness that the last advance gives in the long run
	Kerf        *Interval     // nil without advances
	Scale       *Ratio        // travel over dial; nil: see NoScale
	NoScale     NoScale
	ScaleWithin float64 // half-width of the scale's interval, where it was computed
	LagOne      float64 // correlation of neighbours
	Alternating bool    // neighbours differ as the faces between them make them
	Last        length.Length

	confidence, standardError, degrees float64
}

// Faces fits the model of the saw (package comment) to consecutive leaves.
//
// Source: least squares over the places of the faces, (2) of the package comment;
// rounding as a uniform distribution, JCGM 100:2008 (GUM) 4.3.7, from memory.
// Valid: 2 to [MaxLeaves] leaves, 0 < thicknesses and advances <= 1 m, 0.5 <=
// confidence <= 0.9999; advances for all leaves or none. A leaf thicker than its advance
// is a *[fault.Entry].
func Faces(s Series) (Fit, error) {
	if err := s.check(); err != nil {
		return Fit{}, err
	}
	plain, err := regress(s.columns(false))
	if err != nil {
		return Fit{}, err
	}
	f := Fit{confidence: s.Confidence}
	f.LagOne, f.Alternating = s.alternation()
	used, at := plain, []float64{0, 1}
	if scaled := s.addScale(&f); f.Scale != nil {
		used, at = scaled, []float64{0, 1, float64(s.last())}
	}
	f.FaceSD, f.LeafSD = rooted(used.variance), rooted(2*used.variance)
	f.degrees, f.Last = float64(used.degrees), s.last()
	offset, se := used.at(at)
	f.standardError = s.widened(se, f.Alternating)
	f.Leaf = f.interval(float64(f.Last)+offset, f.standardError)
	if s.known() {
		unit := make([]float64, len(at))
		unit[1] = 1
		slope, se := used.at(unit)
		k := f.interval(-slope, s.widened(se, f.Alternating))
		f.Kerf = &k
	}
	return f, nil
}

// columns gives the places of the faces less those of the dial, and what they are
// fitted by: a constant, the number of the face and, if asked, the dial.
func (s Series) columns(scale bool) (x *mat.Dense, y []float64) {
	width := 2
	if scale {
		width = 3
	}
	x = mat.NewDense(len(s.Leaves)+1, width, nil)
	y = make([]float64, len(s.Leaves)+1)
	var place, dial length.Length
	for k := range y {
		if k > 0 {
			place += s.Leaves[k-1]
			if s.known() {
				dial += s.Advances[k-1]
			}
		}
		row := []float64{1, float64(k), float64(dial)} // digitswap: any constant will do
		x.SetRow(k, row[:width])
		y[k] = float64(place - dial)
	}
	return x, y
}

// addScale fits the scale beside the kerf and notes it, or why there is none.
func (s Series) addScale(f *Fit) regression {
	switch {
	case !s.known():
		f.NoScale = NoAdvances
	case len(s.Leaves) < 3:
		f.NoScale = FewLeaves
	case slices.Max(s.Advances) == slices.Min(s.Advances):
		f.NoScale = AdvancesAlike
	default:
		fit, err := regress(s.columns(true))
		if err != nil { // so nearly alike that no digit is left
			f.NoScale = AdvancesAlike
			return fit
		}
		off, se := fit.at([]float64{0, 0, 1})
		f.ScaleWithin = student(s.Confidence, float64(fit.degrees)) * se
		if f.ScaleWithin > widestScale {
			f.NoScale = ScaleUnsure
			return fit
		}
		if kerf := -fit.coefficients[1]; kerf < 0 || 1+off < lowestScale || 1+off > highestScale {
			f.NoScale = ScaleAbsurd
			return fit
		}
		f.Scale = &Ratio{1 + off, 1 + off - f.ScaleWithin, 1 + off + f.ScaleWithin}
		return fit
	}
	return regression{}
}

// known reports whether the advances are known: of two leaves and more, or of none.
func (s Series) known() bool { return len(s.Advances) > 1 }

func (s Series) last() length.Length {
	if !s.known() {
		return 0
	}
	return s.Advances[len(s.Advances)-1]
}

// errors gives each leaf less its advance, in nanometres from the first.
func (s Series) errors() []float64 {
	d := slices.Clone(s.Leaves)
	for i := range s.Advances {
		d[i] -= s.Advances[i]
	}
	return from(d[0], d) // digitswap: any origin will do
}

// alternation gives the correlation of neighbours, and whether it is what faces
// give: -1/2, or by chance up to 1.645 standard errors above. Bartlett's standard
// error at -1/2 is sqrt(1/(2 n)). With 5 to 20 leaves one good series in ten is above
// that, by simulation, and gets a wider interval than it needs.
func (s Series) alternation() (r float64, alternating bool) {
	r = lagOne(s.errors())
	return r, r <= alternationBound(len(s.Leaves))
}

// alternationBound is the highest correlation one apart that leaves of a saw have.
func alternationBound(leaves int) float64 {
	return -0.5 + 1.645*math.Sqrt(0.5/float64(leaves))
}

// widened adds the rounding of the readings to a standard error, and where leaves
// do not alternate takes them for independent if that is wider.
//
// The slope weighs leaf k of n by 6k(n+1-k)/(n(n+1)(n+2)); the squares of these
// weights add up to just under 6/(5n).
func (s Series) widened(se float64, alternating bool) float64 {
	n := float64(len(s.Leaves))
	rounding := float64(s.Step) / math.Sqrt(12)
	se = math.Hypot(se, rounding*math.Sqrt(6/(5*n)))
	if !alternating {
		se = max(se, stat.StdDev(s.errors(), nil)/math.Sqrt(n))
	}
	return se
}

func (f Fit) interval(estimate, se float64) Interval {
	margin := student(f.confidence, f.degrees) * se
	return Interval{nearest(estimate), nearest(estimate - margin), nearest(estimate + margin)}
}

// student gives how many standard errors either way hold a confidence.
func student(confidence, degrees float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: degrees}.Quantile((1 + confidence) / 2)
}
