// Command planbench runs the engine over folders of published cutting-stock
// instances and prints, for each set, how many it proved and how long it took; or
// the planner over orders whose least cost is known, family by family: of faces and
// three stages, or small ones with divided leaves, kits and passes in the cost; or over
// made-up orders with kits, of which it is known that they can be delivered.
//
//	GOMAXPROCS=1 go run ./calc/plan/internal/planbench -data FOLDER
//	GOMAXPROCS=1 go run ./calc/plan/internal/planbench -faces FILE
//	GOMAXPROCS=1 go run ./calc/plan/internal/planbench -divided FOLDER -limit 3s
//	GOMAXPROCS=1 go run ./calc/plan/internal/planbench -kits -limit 5s
package main

import (
	"context"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime/pprof"
	"sort"
	"strconv"
	"strings"
	"syscall"
	"time"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/solve"
	"resawd/calc/plan/internal/instance"
)

func main() {
	data := flag.String("data", ".", "folder of the sets")
	only := flag.String("run", ".", "regular expression of set/instance to run")
	limit := flag.Duration("limit", 30*time.Second, "time for one instance")
	each := flag.Bool("each", false, "print every instance")
	seed := flag.Uint64("seed", 0, "of the randomised restarts")
	faces := flag.String("faces", "", "file of orders of faces and three stages, instead of the sets")
	divided := flag.String("divided", "", "folder of orders with divided leaves, kits and passes in the cost, instead of the sets")
	kits := flag.Bool("kits", false, "made-up orders with kits, instead of the sets")
	factor := flag.Int64("factor", 10_000, "times the prices of those orders")
	profile := flag.String("cpuprofile", "", "write a processor profile to this file")
	flag.Parse()
	if *profile != "" {
		f, err := os.Create(*profile)
		if err == nil && pprof.StartCPUProfile(f) == nil {
			defer pprof.StopCPUProfile()
		}
	}
	var known []truth
	var err error
	switch {
	case *faces != "":
		known, err = readFaces(*faces, *factor)
	case *divided != "":
		known, err = readDivided(*divided)
	case *kits:
		err = runKits(*only, *limit, *each)
	default:
		err = run(*data, *only, *limit, *each, *seed)
	}
	if err == nil && known != nil {
		err = runTruths(known, *only, *limit, *each)
	}
	if err != nil {
		pprof.StopCPUProfile()
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1) //nolint:gocritic // what was deferred is done above
	}
}

// tally is what a set came to.
type tally struct {
	instances, proven, wrong int
	gap                      float64
	seconds                  []float64
}

func run(data, only string, limit time.Duration, each bool, seed uint64) error {
	pattern, err := regexp.Compile(only)
	if err != nil {
		return err
	}
	optima, err := readOptima(filepath.Join(data, "optima.csv"))
	if err != nil {
		return err
	}
	bounds, err := readBounds(filepath.Join(data, "vscsp_bounds.csv"))
	if err != nil {
		return err
	}
	files, _ := filepath.Glob(filepath.Join(data, "*", "*.txt"))
	sets := map[string]*tally{}
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".txt")
		set := setOf(f, name)
		if !pattern.MatchString(set + "/" + name) {
			continue
		}
		if sets[set] == nil {
			sets[set] = &tally{}
		}
		if err := sets[set].solve(f, name, optima, bounds, limit, each, seed); err != nil {
			return fmt.Errorf("%s: %w", f, err)
		}
	}
	show(sets)
	return nil
}

// setOf is the folder, with the class for sets that hold several.
func setOf(file, name string) string {
	set := filepath.Base(filepath.Dir(file))
	if set == "falkenauer_u" || set == "falkenauer_t" {
		return strings.Split(name, "_")[1]
	}
	return set
}

// until ends a search at a processor time, like what is measured.
func until(ctx context.Context, cancel func(), end float64) {
	for ctx.Err() == nil {
		time.Sleep(20 * time.Millisecond)
		if processor() > end {
			cancel()
		}
	}
}

func (t *tally) solve(file, name string, optima map[string]int64, bounds map[string][2]int64, limit time.Duration, each bool, seed uint64) error {
	in, err := instance.Read(file)
	if err != nil {
		return err
	}
	begin := processor()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	go until(ctx, cancel, begin+limit.Seconds())
	p := in.Problem()
	r, err := solve.Solve(ctx, p, colgen.Options{Seed: seed})
	if err != nil {
		return err
	}
	seconds := processor() - begin
	t.instances++
	t.seconds = append(t.seconds, seconds)
	if r.Status == colgen.Optimal {
		t.proven++
	}
	t.gap = max(t.gap, r.Gap)
	optimum, known := optima[name]
	if known && (r.LowerBound > optimum || r.Status == colgen.Optimal && r.Cost != optimum ||
		r.Status >= colgen.Feasible && r.Cost < optimum) {
		t.wrong++
	}
	if b, ok := bounds[name]; ok && (r.LowerBound > b[1] || r.Status >= colgen.Feasible && r.Cost < b[0]) {
		t.wrong++
	}
	if each {
		fmt.Printf("%s %s cost %d bound %d known %d %.4f s %+v\n", name, r.Status, r.Cost, r.LowerBound, optimum, seconds, r.Stats)
	}
	return nil
}

// processor is the seconds of processor time used so far. Unlike the clock it
// does not count what other programs take.
func processor() float64 {
	var use syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &use) != nil {
		return 0
	}
	return float64(use.Utime.Nano()+use.Stime.Nano()) / 1e9
}

func show(sets map[string]*tally) {
	var names []string
	for n := range sets {
		names = append(names, n)
	}
	sort.Strings(names)
	fmt.Printf("%-20s %9s %7s %6s %9s %10s %10s %10s %10s\n",
		"set", "instances", "proven", "wrong", "worst gap", "median s", "95% s", "max s", "sum s")
	for _, n := range names {
		t := sets[n]
		sort.Float64s(t.seconds)
		sum := 0.0
		for _, s := range t.seconds {
			sum += s
		}
		fmt.Printf("%-20s %9d %7d %6d %8.3f%% %10.5f %10.5f %10.5f %10.3f\n", n, t.instances, t.proven, t.wrong,
			100*t.gap, quantile(t.seconds, 0.5), quantile(t.seconds, 0.95), t.seconds[len(t.seconds)-1], sum)
	}
	var use syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &use) == nil {
		fmt.Printf("most memory: %.1f MiB\n", float64(use.Maxrss)/1024)
	}
}

func quantile(sorted []float64, q float64) float64 {
	return sorted[int(q*float64(len(sorted)-1)+0.5)]
}

// readOptima reads the columns instance and optimum.
func readOptima(file string) (map[string]int64, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	out := map[string]int64{}
	for _, row := range rows[1:] {
		if v, err := strconv.ParseInt(row[5], 10, 64); err == nil {
			out[row[0]] = v
		}
	}
	return out, nil
}

// readBounds reads the columns instance, lb and ub.
func readBounds(file string) (map[string][2]int64, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	out := map[string][2]int64{}
	for _, row := range rows[1:] {
		low, errLow := strconv.ParseInt(row[1], 10, 64)
		high, errHigh := strconv.ParseInt(row[2], 10, 64)
		if errLow == nil && errHigh == nil {
			out[row[0]] = [2]int64{low, high}
		}
	}
	return out, nil
}
