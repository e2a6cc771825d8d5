package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"
)

// goPackage is the part of go list's output that this program reads.
type goPackage struct {
	ImportPath, Dir     string
	GoFiles, EmbedFiles []string
	Deps                []string
	TestImports         []string
	XTestImports        []string
}

// listPackages lists the packages that match the patterns.
func listPackages(ctx context.Context, dir string, patterns ...string) ([]goPackage, error) {
	cmd := exec.CommandContext(ctx, "go", append([]string{"list", "-json"}, patterns...)...)
	var out, complaint bytes.Buffer
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &complaint
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("go list: %w\n%s", err, complaint.String())
	}
	var packages []goPackage
	for decoder := json.NewDecoder(&out); ; {
		var p goPackage
		err := decoder.Decode(&p)
		if errors.Is(err, io.EOF) {
			return packages, nil
		}
		if err != nil {
			return nil, fmt.Errorf("go list: %w", err)
		}
		packages = append(packages, p)
	}
}

// packageMutants finds every mutant of a package, in the order of its files.
func packageMutants(p goPackage) ([]mutant, error) {
	var out []mutant
	add := func(find func(string) ([]literal, error), name string) error {
		found, err := find(filepath.Join(p.Dir, name))
		for _, l := range found {
			out = append(out, mutants(p.ImportPath, l)...)
		}
		return err
	}
	for _, name := range p.GoFiles {
		if err := add(goLiterals, name); err != nil {
			return nil, err
		}
	}
	for _, name := range p.EmbedFiles {
		if filepath.Ext(name) != ".csv" {
			continue
		}
		if err := add(csvLiterals, name); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// dependants lists the packages in all that import path, directly, through others or in
// their tests.
func dependants(all []goPackage, path string) []string {
	var out []string
	for _, p := range all {
		uses := slices.Concat(p.Deps, p.TestImports, p.XTestImports)
		if p.ImportPath != path && slices.Contains(uses, path) {
			out = append(out, p.ImportPath)
		}
	}
	return out
}

// tester runs the tests of packages in dir with one mutant in place.
type tester struct {
	dir     string
	timeout time.Duration // for the tests of one package; building comes on top
}

// buildTime is the most that building one package's tests may take.
const buildTime = 2 * time.Minute

// passes reports whether the tests of pkg pass, with m in place unless it is nil.
func (t tester) passes(ctx context.Context, m *mutant, pkg string, short bool) (bool, string, error) {
	args := []string{"test", "-count=1", "-vet=off", "-failfast", "-p=1",
		"-gcflags=-N -l", "-ldflags=-s -w", // quicker to compile and to link
		fmt.Sprint("-timeout=", t.timeout), fmt.Sprint("-short=", short)}
	if m != nil {
		overlay, remove, err := writeOverlay(*m)
		if err != nil {
			return false, "", err
		}
		defer remove()
		args = append(args, "-overlay="+overlay)
	}
	limited, cancel := context.WithTimeout(ctx, t.timeout+buildTime)
	defer cancel()
	out, err := command(limited, t.dir, append(args, pkg)...)
	var failed *exec.ExitError
	switch {
	case limited.Err() != nil: // not the tests, which have their own limit
		return false, out, fmt.Errorf("go test %s did not end: %w", pkg, limited.Err())
	case err != nil && !errors.As(err, &failed):
		return false, out, err
	}
	return err == nil, out, nil
}

// command runs the go command in a process group of its own, so that the test
// binary ends with it.
func command(ctx context.Context, dir string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir = dir
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	cmd.WaitDelay = 5 * time.Second
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// writeOverlay writes the changed file and the overlay that names it into a new folder.
// It returns the overlay and a function that removes the folder.
func writeOverlay(m mutant) (overlay string, remove func(), err error) {
	src, err := os.ReadFile(m.file)
	if err != nil {
		return "", nil, err
	}
	folder, err := os.MkdirTemp("", "digitswap")
	if err != nil {
		return "", nil, err
	}
	remove = func() { _ = os.RemoveAll(folder) }
	changed := filepath.Join(folder, filepath.Base(m.file))
	overlay = filepath.Join(folder, "overlay.json")
	content, err := json.Marshal(map[string]map[string]string{"Replace": {m.file: changed}})
	err = errors.Join(err,
		os.WriteFile(changed, m.apply(src), 0o600),
		os.WriteFile(overlay, content, 0o600))
	if err != nil {
		remove()
		return "", nil, err
	}
	return overlay, remove, nil
}

// baseline runs the unchanged tests: if a package fails as it stands, nothing can be
// learned from it.
func (t tester) baseline(ctx context.Context, pkgs []string) error {
	for _, pkg := range pkgs {
		ok, out, err := t.passes(ctx, nil, pkg, false)
		if err != nil {
			return err
		}
		if !ok {
			return fmt.Errorf("the unchanged tests of %s fail:\n%s", pkg, strings.TrimSpace(out))
		}
	}
	return nil
}
