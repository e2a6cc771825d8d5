package main

import (
	"context"
	"fmt"
	"io"
	"sync"
	"time"
)

// hunt tries every mutant and reports the survivors in order.
func hunt(ctx context.Context, dir string, opts options, packages []goPackage, all []mutant, out io.Writer) error {
	t := tester{dir: dir, timeout: opts.timeout}
	suites, err := testSuites(ctx, dir, opts, packages)
	if err != nil {
		return err
	}
	for _, p := range packages {
		if err := t.baseline(ctx, suites[p.ImportPath]); err != nil {
			return err
		}
	}
	began := time.Now()
	survived, err := tryAll(ctx, t, suites, all, opts, out)
	if err != nil {
		return err
	}
	count := 0
	for i, m := range all {
		if survived[i] {
			count++
			fmt.Fprintln(out, m)
		}
	}
	fmt.Fprintf(out, "digitswap: %d changes, %d killed, %d survived, %.0f s\n",
		len(all), len(all)-count, count, time.Since(began).Seconds())
	if count > 0 {
		return errSurvivors
	}
	return nil
}

// testSuites lists for each package the packages whose tests may kill its mutants, its
// own first.
func testSuites(ctx context.Context, dir string, opts options, packages []goPackage) (map[string][]string, error) {
	suites := map[string][]string{}
	var module []goPackage
	if opts.dependants {
		var err error
		if module, err = listPackages(ctx, dir, "./..."); err != nil {
			return nil, err
		}
	}
	for _, p := range packages {
		suites[p.ImportPath] = append([]string{p.ImportPath}, dependants(module, p.ImportPath)...)
	}
	return suites, nil
}

// tryAll runs the mutants on opts.parallel workers and returns which survived.
func tryAll(ctx context.Context, t tester, suites map[string][]string, all []mutant, opts options, out io.Writer) ([]bool, error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	survived := make([]bool, len(all))
	next := make(chan int)
	var workers sync.WaitGroup
	var printing sync.Mutex
	for range opts.parallel {
		workers.Go(func() {
			for i := range next {
				lives, err := t.survives(ctx, all[i], suites[all[i].pkg])
				if err != nil {
					cancel(err)
				}
				survived[i] = lives
				if opts.verbose {
					printing.Lock()
					fmt.Fprintln(out, map[bool]string{true: "SURVIVED", false: "killed"}[lives], all[i])
					printing.Unlock()
				}
			}
		})
	}
	for i := range all {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	workers.Wait()
	return survived, context.Cause(ctx)
}

// survives runs the short tests of the mutant's package, which kill most mutants, then
// the full ones and those of the other packages of the suite.
func (t tester) survives(ctx context.Context, m mutant, suite []string) (bool, error) {
	lives, _, err := t.passes(ctx, &m, m.pkg, true)
	for i := 0; i < len(suite) && lives && err == nil; i++ {
		lives, _, err = t.passes(ctx, &m, suite[i], false)
	}
	return lives, err
}
