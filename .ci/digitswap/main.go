package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

const usage = "usage: digitswap [-list] [-v] [-dependants] [-parallel N] [-timeout D] PACKAGES"

// errSurvivors says that everything was tried and some mutants survived.
var errSurvivors = errors.New("the tests do not notice these changes")

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx, ".", os.Args[1:], os.Stdout)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "digitswap:", err)
	}
	switch {
	case err == nil:
	case errors.Is(err, errSurvivors):
		os.Exit(1)
	default:
		os.Exit(2)
	}
}

// options are the flags and arguments of one call.
type options struct {
	list, verbose, dependants bool
	parallel                  int
	timeout                   time.Duration
	patterns                  []string
}

func parse(args []string) (options, error) {
	var o options
	flags := flag.NewFlagSet("digitswap", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.BoolVar(&o.list, "list", false, "print the changes, run nothing")
	flags.BoolVar(&o.verbose, "v", false, "print every change and what became of it")
	flags.BoolVar(&o.dependants, "dependants", false, "run the tests of dependants too")
	flags.IntVar(&o.parallel, "parallel", 2, "how many changes are tried at a time")
	flags.DurationVar(&o.timeout, "timeout", 30*time.Second, "for one run of one package's tests")
	if err := flags.Parse(args); err != nil {
		return o, fmt.Errorf("%w\n%s", err, usage)
	}
	for _, pattern := range flags.Args() {
		o.patterns = append(o.patterns, relative(pattern))
	}
	if len(o.patterns) == 0 || o.parallel < 1 || o.timeout <= 0 {
		return o, errors.New(usage)
	}
	return o, nil
}

// relative turns calc/dial into ./calc/dial, as the go command wants it.
func relative(pattern string) string {
	if filepath.IsAbs(pattern) || strings.HasPrefix(pattern, ".") {
		return pattern
	}
	return "./" + pattern
}

// run is the program: dir is where the go command is called.
func run(ctx context.Context, dir string, args []string, out io.Writer) error {
	opts, err := parse(args)
	if err != nil {
		return err
	}
	packages, err := listPackages(ctx, dir, opts.patterns...)
	if err != nil {
		return err
	}
	var all []mutant
	for _, p := range packages {
		found, err := packageMutants(p)
		if err != nil {
			return err
		}
		all = append(all, found...)
	}
	if opts.list {
		for _, m := range all {
			fmt.Fprintln(out, m)
		}
		return nil
	}
	return hunt(ctx, dir, opts, packages, all, out)
}
