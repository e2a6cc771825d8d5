package solve_test

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/solve"
	"resawd/calc/plan/internal/instance"
)

// where published instances lie; they are not part of the project
const dataDir = "../../../../../shared/data/cutting"

// instances reads the files that match, or skips.
func instances(t testing.TB, pattern string) map[string]instance.Instance {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(dataDir, pattern))
	if len(files) == 0 {
		t.Skipf("no published instances in %s", dataDir)
	}
	out := map[string]instance.Instance{}
	for _, f := range files {
		in, err := instance.Read(f)
		if err != nil {
			t.Fatalf("%s: %v", f, err)
		}
		out[strings.TrimSuffix(filepath.Base(f), ".txt")] = in
	}
	return out
}

// optima reads the published optima.
func optima(t testing.TB) map[string]int64 {
	t.Helper()
	f, err := os.Open(filepath.Join(dataDir, "optima.csv"))
	if err != nil {
		t.Skip(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]int64{}
	for _, row := range rows[1:] {
		out[row[0]], _ = strconv.ParseInt(row[5], 10, 64)
	}
	return out
}

// Optima of Delorme, Iori and Martello's library of instances (European Journal
// of Operational Research 255 (2016) 1-20).
func TestPublishedOptima(t *testing.T) {
	want := optima(t)
	for _, set := range []string{"falkenauer_u/*u120*.txt", "falkenauer_t/*t60*.txt", "scholl1/N1*.txt", "hard28/*BPP716.txt", "waescher/*.txt"} {
		for name, in := range instances(t, set) {
			ctx, cancel := context.WithTimeout(context.Background(), 60*time.Second)
			p := in.Problem()
			r, err := solve.Solve(ctx, p, colgen.Options{})
			cancel()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if r.LowerBound > want[name] || r.Cost < want[name] || r.Status == colgen.Optimal && r.Cost != want[name] {
				t.Errorf("%s: cost %d, bound %d; published is %d", name, r.Cost, r.LowerBound, want[name])
			}
		}
	}
}

// Where prices do not follow size, many published problems have plans that cost
// no more than the cheapest boards that hold the material, which a table by
// volume tells.
func TestVolume(t *testing.T) {
	for name, in := range instances(t, "vscsp_Crainic2/*.txt") {
		p := in.Problem()
		r, err := solve.Solve(context.Background(), p, colgen.Options{WorkLimit: 500_000_000})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if want := cheapest(in); r.Status != colgen.Optimal || r.Cost != want {
			t.Errorf("%s: %v, cost %d; want %d", name, r.Status, r.Cost, want)
		}
	}
}

// cheapest is what boards cost at least that hold all material.
func cheapest(in instance.Instance) int64 {
	volume := int64(0)
	for i, s := range in.Size {
		volume += s * int64(in.Demand[i])
	}
	least := make([]int64, volume+1) // by what is still to hold
	for v := range volume {
		least[v+1] = math.MaxInt64 / 2
	}
	for k, kind := range in.Kinds {
		for range kind.Quantity {
			for v := volume; v > 0; v-- {
				least[v] = min(least[v], least[max(0, v-in.Capacity[k])]+kind.Cost)
			}
		}
	}
	return least[volume]
}

func BenchmarkSolve(b *testing.B) {
	for _, set := range []string{"falkenauer_u/*u250_0*.txt", "falkenauer_t/*t60_0*.txt", "hard28/*BPP4*.txt", "vscsp_Belov1/*_1*.txt"} {
		b.Run(filepath.Dir(set), func(b *testing.B) {
			all := instances(b, set)
			for b.Loop() {
				for name, in := range all {
					p := in.Problem()
					if _, err := solve.Solve(context.Background(), p, colgen.Options{WorkLimit: 200_000_000}); err != nil {
						b.Fatalf("%s: %v", name, err)
					}
				}
			}
		})
	}
}
