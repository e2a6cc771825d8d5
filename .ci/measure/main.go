// Command measure runs every benchmark of the service, and prints the results beside
// the figures that the service should reach.
//
//	go run ./.ci/measure [-json] [-data FOLDER]
//
// It takes some five minutes on two cores. The benchmarks are those of go test, in
// cmd/resawd, api/calculator and calc/plan/solver: each can be run alone. With the
// published problems in FOLDER the planner's own bench runs over them, too.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx, os.Args[1:], os.Stdout)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("measure", flag.ContinueOnError)
	asJSON := flags.Bool("json", false, "print JSON, with every metric of every benchmark")
	data := flags.String("data", "", "folder with the published cutting problems")
	if err := flags.Parse(args); err != nil {
		return err
	}
	r := report{Machine: thisMachine(), Benchmarks: benchmarks{}}
	for _, test := range []struct{ pattern, folder string }{
		{"Speed|Latency|Overload|PlanEnds|Bulk|Start|Memory", "./cmd/resawd"},
		{"Solve|Bulk", "./api/calculator"},
		{"RealOrder/1s", "./calc/plan/solver"},
	} {
		fmt.Fprintln(os.Stderr, "measure: benchmarks of", test.folder)
		benchtime := "1x" // each of them says how long it measures
		if test.folder == "./api/calculator" {
			benchtime = "1s"
		}
		text, err := command(ctx, "go", "test", "-run=^$", "-bench="+test.pattern, "-benchmem", "-benchtime="+benchtime, "-timeout=15m", test.folder)
		if err != nil {
			return err
		}
		if err := r.Benchmarks.add(test.folder, text); err != nil {
			return err
		}
	}
	if *data != "" {
		text, err := command(ctx, "go", "run", "./calc/plan/internal/planbench", "-limit=10s", "-data="+*data)
		if err != nil {
			return err
		}
		r.Plans = string(text)
	}
	r.weigh()
	if *asJSON {
		encoder := json.NewEncoder(out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(r)
	}
	return r.print(out)
}

// command runs a program to its end and returns what it prints.
func command(ctx context.Context, name string, args ...string) ([]byte, error) {
	var out bytes.Buffer
	c := exec.CommandContext(ctx, name, args...)
	c.Stdout, c.Stderr = &out, os.Stderr
	c.Cancel = func() error { return c.Process.Signal(os.Interrupt) }
	if err := c.Run(); err != nil {
		return nil, fmt.Errorf("%s %v: %w\n%s", name, args, err, &out)
	}
	return out.Bytes(), nil
}
