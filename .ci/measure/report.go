package main

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"io"
	"os"
	"path"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
)

// benchmarks holds the metrics of each benchmark, such as 0.72 of-bare of
// resawd/Speed/dial/GET. One that ran several times has the mean.
type benchmarks map[string]map[string]float64

// line is a benchmark's line: its name, how often it ran, and the metrics.
var line = regexp.MustCompile(`^Benchmark(\S+?)(?:#\d+)?(?:-\d+)?\s+\d+\s+(.*)$`)

// add reads the output of go test -bench.
func (all benchmarks) add(folder string, text []byte) error {
	sums, counts := benchmarks{}, map[string]float64{}
	for l := range bytes.Lines(text) {
		found := line.FindSubmatch(bytes.TrimSpace(l))
		if found == nil {
			continue
		}
		name := path.Base(folder) + "/" + string(found[1])
		if sums[name] == nil {
			sums[name] = map[string]float64{}
		}
		counts[name]++
		words := strings.Fields(string(found[2]))
		for i := 0; i+1 < len(words); i += 2 {
			value, err := strconv.ParseFloat(words[i], 64)
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			sums[name][words[i+1]] += value
		}
	}
	if len(sums) == 0 {
		return fmt.Errorf("%s printed no benchmark:\n%s", folder, text)
	}
	for name, metrics := range sums {
		for metric := range metrics {
			metrics[metric] /= counts[name]
		}
		all[name] = metrics
	}
	return nil
}

// named lists the names of the benchmarks that match a pattern, in order.
func (all benchmarks) named(pattern string) (names []string) {
	expression := regexp.MustCompile("^" + pattern + "$")
	for name := range all {
		if expression.MatchString(name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// median is the median of a metric over the benchmarks that match a pattern.
func (all benchmarks) median(pattern, metric string) (float64, bool) {
	var values []float64
	for _, name := range all.named(pattern) {
		if value, ok := all[name][metric]; ok {
			values = append(values, value)
		}
	}
	if len(values) == 0 {
		return 0, false
	}
	slices.Sort(values)
	return values[len(values)/2], true
}

// figure is one row of the table.
type figure struct {
	What    string   `json:"what"`
	Value   float64  `json:"value"`
	Unit    string   `json:"unit"`
	Goal    *float64 `json:"goal,omitempty"`
	Reached *bool    `json:"reached,omitempty"`
}

// report is everything that was measured.
type report struct {
	Machine    machine    `json:"machine"`
	Figures    []figure   `json:"figures"`
	Benchmarks benchmarks `json:"benchmarks"`
	Plans      string     `json:"plans,omitempty"`
}

// weigh compares what was measured with what is wanted.
func (r *report) weigh() {
	for _, w := range wanted {
		value, ok := r.Benchmarks.median(w.benchmark, w.metric)
		if !ok {
			continue
		}
		f := figure{What: w.what, Value: value, Unit: w.unit}
		if w.goal != 0 {
			reached := value <= w.goal
			if w.atLeast {
				reached = value >= w.goal
			}
			f.Goal, f.Reached = &w.goal, &reached
		}
		r.Figures = append(r.Figures, f)
	}
}

// print prints the report as Markdown tables.
func (r *report) print(out io.Writer) error {
	w := bufio.NewWriter(out)
	fmt.Fprintf(w, "%s\n\n| what | figure | goal |\n|---|---|---|\n", r.Machine)
	for _, f := range r.Figures {
		goal := ""
		if f.Goal != nil {
			goal = fmt.Sprintf("%s, missed", short(*f.Goal))
			if *f.Reached {
				goal = short(*f.Goal)
			}
		}
		fmt.Fprintf(w, "| %s | %s | %s |\n", f.What, strings.TrimSpace(short(f.Value)+" "+f.Unit), goal)
	}
	fmt.Fprint(w, "\n| calculator | of bare | by processor time | requests/s | allocations | bytes |\n|---|---|---|---|---|---|\n")
	for _, name := range r.Benchmarks.named("resawd/Speed/.*") {
		m := r.Benchmarks[name]
		fmt.Fprintf(w, "| %s | %.2f | %.2f | %s | %.0f | %.0f |\n", strings.TrimPrefix(name, "resawd/Speed/"), m["of-bare"], m["of-bare-by-processor"],
			short(m["requests/s"]), m["allocs/request"], m["B/request"])
	}
	if r.Plans != "" {
		fmt.Fprintf(w, "\n%s", r.Plans)
	}
	return w.Flush()
}

// short writes a number with three digits.
func short(x float64) string {
	if x >= 1000 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

// machine is the machine that was measured on, and how busy it was before.
type machine struct {
	Processor string `json:"processor"`
	Cores     int    `json:"cores"`
	Go        string `json:"go"`
	Load      string `json:"load"`
}

func thisMachine() machine {
	return machine{field("/proc/cpuinfo", "model name\t: "), runtime.NumCPU(), runtime.Version(), firstWord("/proc/loadavg")}
}

// String describes the machine in a line.
func (m machine) String() string {
	return fmt.Sprintf("%s, %d cores, %s; load average %s before", m.Processor, m.Cores, m.Go, m.Load)
}

// field reads what follows a name in a file. If the file cannot be read, it is unknown.
func field(file, name string) string {
	text, _ := os.ReadFile(file)
	_, after, _ := strings.Cut(string(text), name)
	value, _, _ := strings.Cut(after, "\n")
	return cmp.Or(value, "unknown")
}

func firstWord(file string) string {
	text, _ := os.ReadFile(file)
	word, _, _ := strings.Cut(string(text), " ")
	return cmp.Or(word, "unknown")
}
