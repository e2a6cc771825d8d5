package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// digitswap runs the program on the toy module and gives what it prints.
func digitswap(t *testing.T, args ...string) ([]string, error) {
	t.Helper()
	t.Chdir(filepath.Join("testdata", "toy"))
	var out bytes.Buffer
	err := run(t.Context(), ".", args, &out)
	return strings.Split(strings.TrimSpace(out.String()), "\n"), err
}

// Read off testdata/toy by eye: each number that is not excused, each digit.
var toyChanges = []string{
	"toy.go:15:26 0 -> 1",
	"toy.go:25:47 25.4 -> 35.4",
	"toy.go:25:47 25.4 -> 26.4",
	"toy.go:25:47 25.4 -> 25.5",
	"toy.go:29:9 90 -> 80",
	"toy.go:29:9 90 -> 91",
	"toy.go:30:10 90 -> 80",
	"toy.go:30:10 90 -> 91",
	"toy.go:32:16 5 -> 6",
	"toy.go:37:9 0 -> 1",
	"table.csv:3:3 12 -> 22",
	"table.csv:3:3 12 -> 13",
	"table.csv:4:5 1/2 -> 2/2",
	"table.csv:4:5 1/2 -> 1/3",
	"table.csv:5:3 7 -> 8",
}

func TestList(t *testing.T) {
	got, err := digitswap(t, "-list", ".")
	if err != nil || !slices.Equal(got, toyChanges) {
		t.Errorf("error %v, changes\n%s", err, strings.Join(got, "\n"))
	}
}

// The toy's tests never look above 90 nor at the table's last row.
func TestSurvivors(t *testing.T) {
	got, err := digitswap(t, ".")
	if !errors.Is(err, errSurvivors) {
		t.Fatalf("error %v\n%s", err, strings.Join(got, "\n"))
	}
	want := append(slices.Clone(toyChanges[4:8]), toyChanges[14])
	if !slices.Equal(got[:len(got)-1], want) {
		t.Errorf("survivors\n%s", strings.Join(got, "\n"))
	}
	if !strings.HasPrefix(got[len(got)-1], "digitswap: 15 changes, 10 killed, 5 survived, ") {
		t.Errorf("last line %q", got[len(got)-1])
	}
}

// The tests of package uses, which imports the toy, look at 91 and at the
// table's last row; a change of 90 to 80 they cannot see.
func TestDependants(t *testing.T) {
	got, err := digitswap(t, "-dependants", ".")
	want := []string{"toy.go:29:9 90 -> 80"}
	if !errors.Is(err, errSurvivors) || !slices.Equal(got[:len(got)-1], want) {
		t.Errorf("error %v, survivors\n%s", err, strings.Join(got, "\n"))
	}
}

func TestRefusals(t *testing.T) {
	for _, test := range []struct {
		name string
		args []string
		want string
	}{
		{"no package", nil, "usage"},
		{"unknown flag", []string{"-fast", "."}, "-fast"},
		{"no worker", []string{"-parallel=0", "."}, "usage"},
		{"no such package", []string{"nowhere"}, "nowhere"},
		{"tests that fail as they stand", []string{"./broken"}, "unchanged tests"},
		{"an excuse without a reason", []string{"-list", "./excuse"}, "excuse.go:4:18: the opt-out gives no reason"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := digitswap(t, test.args...)
			if err == nil || errors.Is(err, errSurvivors) || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want one with %q", err, test.want)
			}
		})
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	err := run(ctx, filepath.Join("testdata", "toy"), []string{"."}, &bytes.Buffer{})
	if err == nil || errors.Is(err, errSurvivors) {
		t.Errorf("error %v", err)
	}
}

// A change that makes the tests run for ever is killed by -timeout.
func TestEndless(t *testing.T) {
	got, err := digitswap(t, "-timeout=2s", "-v", "./endless")
	if err != nil || !slices.Contains(got, "killed endless/endless.go:6:28 2 -> 3") {
		t.Errorf("error %v\n%s", err, strings.Join(got, "\n"))
	}
}

func TestMutants(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{"0", "1"},
		{"9", "8"},
		{"95", "85 96"},
		{"1_09", "2_09 1_19 1_08"},
		{"0x1f", "0x2f 0x1e"},
		{"0x9A", "0xaA 0x9b"},
		{"0b10", "0b00 0b11"},
		{"0o17", "0o27 0o16"},
		{"017", "027 016"},
		{".05", ".15 .06"},
		{"1e-05", "2e-05 1e-15 1e-06"},
		{"0e1", "1e1"},       // 0e2 is 0 as well
		{"0x1p-2", "0x2p-2"}, // the binary exponent is left alone
		{"2i", "3i"},         // imaginary
		{"1-1/2", "2-1/2 1-2/2 1-1/3"},
		{"18446744073709551615", "28446744073709551615 19446744073709551615 " +
			"18546744073709551615 18456744073709551615 18447744073709551615 18446844073709551615 " +
			"18446754073709551615 18446745073709551615 18446744173709551615 18446744083709551615 " +
			"18446744074709551615 18446744073809551615 18446744073719551615 18446744073708551615 18446744073709651615 " +
			"18446744073709561615 18446744073709552615 18446744073709551715 18446744073709551625 " +
			"18446744073709551616"},
		{"1.00000000000000000", "2.00000000000000000 1.10000000000000000 1.01000000000000000 " +
			"1.00100000000000000 1.00010000000000000 1.00001000000000000 1.00000100000000000 " +
			"1.00000010000000000 1.00000001000000000 1.00000000100000000 1.00000000010000000 " +
			"1.00000000001000000 1.00000000000100000 1.00000000000010000 1.00000000000001000 " +
			"1.00000000000000100"}, // a digit beyond half an ulp, 1.1e-16, changes no value
	} {
		var got []string
		for _, m := range mutants("p", literal{text: test.text}) {
			got = append(got, m.text)
		}
		if strings.Join(got, " ") != test.want {
			t.Errorf("%s: %s, want %s", test.text, strings.Join(got, " "), test.want)
		}
	}
}

// The tree is read, never written.
func TestTreeUntouched(t *testing.T) {
	name := filepath.Join("testdata", "toy", "toy.go")
	before, err := os.Stat(name)
	if err != nil {
		t.Fatal(err)
	}
	m := mutant{literal: literal{file: name, offset: 0, text: "//"}, text: "// x"}
	overlay, remove, err := writeOverlay(m)
	if err != nil {
		t.Fatal(err)
	}
	remove()
	if _, err := os.Stat(overlay); !os.IsNotExist(err) {
		t.Errorf("the overlay is left behind: %v", err)
	}
	after, err := os.Stat(name)
	if err != nil || !after.ModTime().Equal(before.ModTime()) || after.Size() != before.Size() {
		t.Errorf("%s changed: %v", name, err)
	}
}
