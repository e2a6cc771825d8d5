// Command vulns decides whether the gate passes what govulncheck found: it reads the
// report in JSON from standard input.
//
//	govulncheck -format json ./... | go run ./.ci/vulns .ci/vulns/accepted.txt
//
// Only vulnerabilities whose code the program can reach count. Each fails the gate unless
//
//   - it is in the standard library and fixed in a later Go. It is then printed: this
//     tree cannot choose the Go of a machine, and whoever builds a release takes a fixed
//     one;
//   - the file of accepted vulnerabilities names it, with the reason.
//
// An accepted vulnerability that was not found fails the gate as well, so that the list
// stays true.
package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
)

// message is the part of govulncheck's output that this program reads.
type message struct {
	Config  *struct{}
	Finding *finding
}

// finding is one way in which a vulnerability touches the program.
type finding struct {
	OSV          string
	FixedVersion string `json:"fixed_version"`
	Trace        []struct{ Module, Version, Function string }
}

// reached reports whether the program can call the vulnerable code.
func (f finding) reached() bool { return len(f.Trace) > 0 && f.Trace[0].Function != "" }

// waitsForGo reports whether only a newer Go fixes it.
func (f finding) waitsForGo() bool { return f.Trace[0].Module == "stdlib" && f.FixedVersion != "" }

func main() {
	if err := run(os.Args[1:], os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "vulns:", err)
		os.Exit(1)
	}
}

func run(args []string, report io.Reader, out io.Writer) error {
	if len(args) != 1 {
		return errors.New("usage: vulns ACCEPTED <REPORT")
	}
	file, err := os.Open(args[0])
	if err != nil {
		return err
	}
	defer file.Close()
	accepted, err := readAccepted(file)
	if err != nil {
		return fmt.Errorf("%s: %w", args[0], err)
	}
	found, err := readReport(report)
	if err != nil {
		return fmt.Errorf("the report: %w", err)
	}
	return judge(found, accepted, out)
}

// readAccepted reads lines of an identifier and a reason; # begins a comment.
func readAccepted(r io.Reader) (map[string]string, error) {
	accepted := map[string]string{}
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		id, reason, _ := strings.Cut(line, " ")
		if strings.TrimSpace(reason) == "" {
			return nil, fmt.Errorf("%s is accepted without a reason", id)
		}
		accepted[id] = strings.TrimSpace(reason)
	}
	return accepted, lines.Err()
}

// readReport returns the reached vulnerabilities by identifier and module, since one
// may concern the standard library and a module alike. A report without its head is an
// error.
func readReport(r io.Reader) (map[string]finding, error) {
	found, whole := map[string]finding{}, false
	for decoder := json.NewDecoder(r); ; {
		var m message
		err := decoder.Decode(&m)
		switch {
		case errors.Is(err, io.EOF) && whole:
			return found, nil
		case err != nil:
			return nil, err
		}
		whole = whole || m.Config != nil
		if m.Finding != nil && m.Finding.reached() {
			found[m.Finding.OSV+" in "+m.Finding.Trace[0].Module] = *m.Finding
		}
	}
}

// judge prints what was found, and returns an error if the gate must fail.
func judge(found map[string]finding, accepted map[string]string, out io.Writer) error {
	var wrong []string
	seen := map[string]bool{}
	for _, key := range slices.Sorted(maps.Keys(found)) {
		f := found[key]
		seen[f.OSV] = true
		reason, ok := accepted[f.OSV]
		at := key + " " + f.Trace[0].Version
		switch {
		case ok:
			fmt.Fprintf(out, "%s: accepted: %s\n", at, reason)
		case f.waitsForGo():
			fmt.Fprintf(out, "%s: fixed in Go %s\n", at, strings.TrimPrefix(f.FixedVersion, "v"))
		default:
			wrong = append(wrong, at)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(accepted)) {
		if !seen[id] {
			wrong = append(wrong, id+", which is accepted and was not found")
		}
	}
	if len(wrong) > 0 {
		return errors.New(strings.Join(wrong, "; "))
	}
	fmt.Fprintf(out, "vulns: %d reached, none to be fixed here\n", len(found))
	return nil
}
