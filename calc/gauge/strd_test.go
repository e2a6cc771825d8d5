package gauge

import (
	"bufio"
	"math"
	"math/big"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// digits is the log relative error: how many digits of a certified value are had.
func digits(got, certified float64) float64 {
	if got == certified {
		return 15
	}
	if certified == 0 {
		return -math.Log10(math.Abs(got))
	}
	return min(15, -math.Log10(math.Abs(got-certified)/math.Abs(certified)))
}

// lines reads a data set: what its # lines and its other lines hold, in fields.
func lines(t *testing.T, name string) (comments, data [][]string) {
	t.Helper()
	f, err := os.Open("testdata/strd/" + name + ".txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		if text, ok := strings.CutPrefix(s.Text(), "#"); ok {
			comments = append(comments, strings.Fields(text))
		} else {
			data = append(data, strings.Fields(s.Text()))
		}
	}
	return comments, data
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// digitsOfPi gives the first digits of pi by Machin's formula in whole numbers.
func digitsOfPi(count int) []float64 {
	unit := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(count+10)), nil)
	arctan := func(over int64) *big.Int { // of 1/over
		sum, power := new(big.Int), new(big.Int).Div(unit, big.NewInt(over))
		for n, sign := int64(1), int64(1); power.Sign() > 0; n, sign = n+2, -sign {
			sum.Add(sum, new(big.Int).Div(power, big.NewInt(sign*n)))
			power.Div(power, big.NewInt(over*over))
		}
		return sum
	}
	pi := arctan(5)
	pi.Sub(pi.Mul(pi, big.NewInt(16)), new(big.Int).Mul(arctan(239), big.NewInt(4)))
	all := make([]float64, count)
	for i, digit := range pi.String()[:count] {
		all[i] = float64(digit - '0')
	}
	return all
}

// asPublished makes the 957th digit a 3, as the data set has it; pi has an 8.
func asPublished(pi []float64) []float64 {
	pi[956] = 3
	return pi
}

// TestStRDUnivariate: certified means, standard deviations and autocorrelations.
// The data of NumAcc3 and NumAcc4 are no float64: ...0.1 and ...0.3 beside a million
// and ten million are rounded on reading, which leaves some 9 and 8 digits of the
// standard deviation whatever is done with them.
func TestStRDUnivariate(t *testing.T) {
	alternate := func(first, low, high float64) []float64 {
		x := []float64{first}
		for range 500 {
			x = append(x, low, high)
		}
		return x
	}
	type set struct {
		name         string
		x            []float64
		mean, sd, r1 float64
		least        float64 // digits of the standard deviation
	}
	sets := []set{
		{"PiDigits", asPublished(digitsOfPi(5000)), 4.5348, 2.86733906028871, -0.00355099287237972, 13},
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, -0.5, 15},
		{"NumAcc2", alternate(1.2, 1.1, 1.3), 1.2, 0.1, -0.999, 13},
		{"NumAcc3", alternate(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, -0.999, 9},
		{"NumAcc4", alternate(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, -0.999, 8},
	}
	for name, least := range map[string]float64{"Lew": 14, "Lottery": 14, "Mavro": 12, "Michelso": 13} {
		comments, data := lines(t, name)
		s := set{name, nil, number(t, comments[1][0]), number(t, comments[1][1]), number(t, comments[1][2]), least}
		for _, row := range data {
			for _, text := range row {
				s.x = append(s.x, number(t, text))
			}
		}
		sets = append(sets, s)
	}
	for _, s := range sets {
		mean, sd := stat.MeanStdDev(s.x, nil)
		a, b, c := digits(mean, s.mean), digits(sd, s.sd), digits(lagOne(s.x), s.r1)
		t.Logf("%-9s %4d values: mean %4.1f, standard deviation %4.1f, autocorrelation %4.1f digits", s.name, len(s.x), a, b, c)
		if a < 14 || b < s.least || c < min(9, s.least) {
			t.Errorf("%s: %v, %v, %v", s.name, mean, sd, lagOne(s.x))
		}
	}
}

// TestStRDRegression: certified coefficients and their standard deviations. Float64
// does not leave 9 digits in Filip, a polynomial of degree 10, and in Wampler4 and
// Wampler5, whose errors are 10^4 and more times their coefficients. A fit of this
// package has two or three columns, as Norris and Pontius have.
func TestStRDRegression(t *testing.T) {
	for name, least := range map[string]struct{ coefficients, deviations float64 }{
		"Norris": {12, 12}, "Pontius": {11, 12}, "NoInt1": {13, 13}, "NoInt2": {13, 13}, "Longley": {10, 12},
		"Filip": {7, 7}, "Wampler1": {9, 9}, "Wampler2": {12, 12}, "Wampler3": {9, 12}, "Wampler4": {7, 12}, "Wampler5": {5, 12},
	} {
		x, y, certified, deviations := regressionSet(t, name)
		f, err := regress(x, y)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		a, b := 15.0, 15.0
		for i := range certified {
			unit := make([]float64, len(certified))
			unit[i] = 1
			value, se := f.at(unit)
			a, b = min(a, digits(value, certified[i])), min(b, digits(se, deviations[i]))
		}
		t.Logf("%-9s coefficients %4.1f, standard deviations %4.1f digits", name, a, b)
		if a < least.coefficients || b < least.deviations {
			t.Errorf("%s: %.1f and %.1f digits", name, a, b)
		}
	}
}

func regressionSet(t *testing.T, name string) (x *mat.Dense, y, certified, deviations []float64) {
	t.Helper()
	_, data := lines(t, name)
	degree := int(number(t, data[0][1]))
	var columns []float64
	for _, row := range data[1:] {
		if row[0] == "certified" {
			certified, deviations = append(certified, number(t, row[1])), append(deviations, number(t, row[2]))
			continue
		}
		y = append(y, number(t, row[0]))
		if degree > 0 {
			columns = append(columns, 1)
		}
		for _, text := range row[1:] {
			columns = append(columns, number(t, text))
		}
		for power := 2; power <= degree; power++ {
			columns = append(columns, math.Pow(number(t, row[1]), float64(power)))
		}
	}
	return mat.NewDense(len(y), len(certified), columns), y, certified, deviations
}
