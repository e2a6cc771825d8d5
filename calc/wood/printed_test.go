package wood

import (
	"fmt"
	"strings"
	"testing"
)

// The printed tables, typed in a second time: name, then the columns in the order of
// print; - where nothing is printed. The names are those of this package's table.
const (
	printedCoefficients = `
		alder, red: .00151 .00256; apple: .00205 .00376; ash, black: .00172 .00274; ash, white: .00169 .00274
		aspen, quaking: .00119 .00234; basswood, American: .00230 .00330; beech, American: .00190 .00431
		birch, paper: .00219 .00304; birch, sweet: .00256 .00338; birch, yellow: .00256 .00338; butternut: .00116 .00223
		cherry, black: .00126 .00248; chestnut, American: .00116 .00234; elm, American: .00144 .00338; elm, slippery: .00169 .00315
		hackberry: .00165 .00315; hickory, pecan: .00169 .00315; hickory, true: .00259 .00411; locust, black: .00158 .00252
		maple, bigleaf: .00126 .00248; maple, red: .00137 .00289; maple, silver: .00102 .00252; maple, sugar: .00165 .00353
		oak, northern red: .00158 .00369; oak, white: .00180 .00365; persimmon: .00278 .00403; sassafras: .00137 .00216
		sweetgum: .00183 .00365; sycamore, American: .00172 .00296; tupelo, black: .00176 .00308; walnut, black: .00190 .00274
		mahogany, true: .00172 .00238; teak: .00101 .00186; mahogany, African: .00141 .00201; spanish-cedar: .00141 .00219
		padauk: - .00180; wenge: - .00201; purpleheart: - .00212; jatoba: - .00300; merbau: - .00158; jarrah: - .00396; mesquite: - .00129`
	printedShrinkage = `
		alder, red: 4.4 7.3 12.6; ash, black: 5.0 7.8 15.2; ash, white: 4.9 7.8 13.3; aspen, quaking: 3.5 6.7 11.5
		basswood, American: 6.6 9.3 15.8; beech, American: 5.5 11.9 17.2; birch, paper: 6.3 8.6 16.2; birch, sweet: 6.5 9.0 15.6
		birch, yellow: 7.3 9.5 16.8; butternut: 3.4 6.4 10.6; cherry, black: 3.7 7.1 11.5; chestnut, American: 3.4 6.7 11.6
		elm, American: 4.2 9.5 14.6; elm, slippery: 4.9 8.9 13.8; hackberry: 4.8 8.9 13.8; hickory, pecan: 4.9 8.9 13.6
		hickory, true: 7.0 10.5 16.7; maple, sugar: 4.8 9.9 14.7; maple, red: 4.0 8.2 12.6; oak, northern red: 4.0 8.6 13.7
		oak, white: 5.6 10.5 16.3; persimmon: 7.9 11.2 19.1; sassafras: 4.0 6.2 10.3; sweetgum: 5.3 10.2 15.8
		sycamore, American: 5.0 8.4 14.1; tupelo, black: 5.1 8.7 14.4; walnut, black: 5.5 7.8 12.8; yellow-poplar: 4.6 8.2 12.7
		cedar, Alaska yellow: 2.8 6.0 9.2; Douglas-fir: 4.8 7.6 12.4; incense-cedar: 3.3 5.2 7.7; Port-Orford-cedar: 4.6 6.9 10.1
		redcedar, eastern: 3.1 4.7 7.8; redcedar, western: 2.4 5.0 6.8; limba: 4.5 6.2 10.8; mahogany, African: 2.5 4.5 8.8
		mahogany, true: 3.0 4.1 7.8; purpleheart: 3.2 6.1 9.9; rosewood, Indian: 2.7 5.8 8.5; rosewood, Brazilian: 2.9 4.6 8.5
		sapele: 4.6 7.4 14.0; teak: 2.5 5.8 7.0`
	printedGravity = `
		alder, red: .37 .41; ash, white: .55 .60; basswood, American: .32 .37; beech, American: .56 .64; birch, yellow: .55 .62
		birch, sweet: .60 .65; birch, paper: .48 .55; butternut: .36 .38; cherry, black: .47 .50; elm, American: .46 .50
		hackberry: .49 .53; hickory, pecan: .60 .66; hickory, true: .64 .72; locust, black: .66 .69; maple, sugar: .56 .63
		maple, red: .49 .54; maple, silver: .44 .47; oak, northern red: .56 .63; oak, white: .60 .68; sweetgum: .46 .52
		sycamore, American: .46 .49; walnut, black: .51 .55; yellow-poplar: .40 .42; purpleheart: .67 -; rosewood, Brazilian: .80 -
		rosewood, Indian: .75 -; sapele: .55 -; spanish-cedar: .41 -; teak: .55 -`
)

// TestPrinted: every figure of the table is the printed one, and every printed one
// stands in the table.
func TestPrinted(t *testing.T) {
	for name, c := range map[string]struct {
		printed string
		figures func(Species) []Figure
		rows    int
	}{
		"coefficients": {printedCoefficients, func(s Species) []Figure { return []Figure{s.RadialCoefficient, s.TangentialCoefficient} }, 42},
		"shrinkage": {printedShrinkage, func(s Species) []Figure {
			return []Figure{s.RadialShrinkage, s.TangentialShrinkage, s.VolumetricShrinkage}
		}, 42},
		"gravity": {printedGravity, func(s Species) []Figure { return []Figure{s.GravityGreen, s.Gravity12} }, 29},
	} {
		printed := map[string]string{}
		for _, row := range strings.FieldsFunc(c.printed, func(r rune) bool { return r == ';' || r == '\n' }) {
			if species, figures, ok := strings.Cut(strings.TrimSpace(row), ": "); ok {
				printed[species] = strings.ReplaceAll(" "+figures, " .", " 0.")
			}
		}
		if len(printed) != c.rows {
			t.Errorf("%s: %d rows", name, len(printed))
		}
		for _, s := range species {
			want := printed[s.Name]
			var cells []string
			for i, f := range c.figures(s) {
				cells = append(cells, told(f, want, i))
			}
			got := strings.Join(cells, "")
			if delete(printed, s.Name); strings.Trim(got, " -") != "" && got != want || want != "" && got != want {
				t.Errorf("%s of %s:%s, printed%s", name, s.Name, got, want)
			}
		}
		for species := range printed {
			t.Errorf("%s of %s are not in the table", name, species)
		}
	}
}

// told tells a figure with as many decimals as the printed one has.
func told(f Figure, printed string, column int) string {
	if !f.Known() {
		return " -"
	}
	decimals := -1
	if cells := strings.Fields(printed); column < len(cells) {
		_, after, _ := strings.Cut(cells[column], ".")
		decimals = len(after)
	}
	if decimals < 0 {
		return fmt.Sprint(" ", f.Value)
	}
	if short := fmt.Sprintf(" %.*f", decimals, f.Value); fmt.Sprintf("%.9f", f.Value) == fmt.Sprintf("%.9f", mustFloat(short)) {
		return short
	}
	return fmt.Sprint(" ", f.Value)
}

func mustFloat(text string) (x float64) {
	_, _ = fmt.Sscan(text, &x)
	return x
}
