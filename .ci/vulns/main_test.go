package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const (
	config  = `{"config":{"protocol_version":"v1.0.0"}}`
	inGo    = `{"finding":{"osv":"GO-1","fixed_version":"v1.26.9","trace":[{"module":"stdlib","version":"v1.26.8","function":"Serve"}]}}`
	inGoYet = `{"finding":{"osv":"GO-2","trace":[{"module":"stdlib","version":"v1.26.8","function":"Serve"}]}}`
	inDep   = `{"finding":{"osv":"GO-3","fixed_version":"v4.2.0","trace":[{"module":"example.org/dep","version":"v4.1.0","function":"Do"}]}}`
	unused  = `{"finding":{"osv":"GO-4","trace":[{"module":"example.org/dep","version":"v4.1.0"}]}}`
)

func TestRun(t *testing.T) {
	for _, test := range []struct{ name, report, accepted, says, fails string }{
		{"nothing", config, "", "vulns: 0 reached", ""},
		{"imported, not reached", config + unused, "", "vulns: 0 reached", ""},
		{"a newer Go", config + inGo, "", "GO-1 in stdlib v1.26.8: fixed in Go 1.26.9", ""},
		{"accepted", config + inDep, "# why\n\nGO-3 for a reason\n", "GO-3 in example.org/dep v4.1.0: accepted: for a reason", ""},
		{"one that is in Go and in a module", config + strings.ReplaceAll(inDep, "GO-3", "GO-1") + inGo, "", "GO-1 in stdlib", "GO-1 in example.org/dep"},
		{"no newer Go yet", config + inGoYet, "", "", "GO-2 in stdlib"},
		{"a module", config + inGo + inDep, "", "GO-1", "GO-3 in example.org/dep v4.1.0"},
		{"accepted, not found", config, "GO-3 for a reason", "", "GO-3, which is accepted"},
		{"accepted, not reached", config + unused, "GO-4 for a reason", "", "GO-4, which is accepted"},
		{"no reason", config, "GO-3 \n", "", "GO-3 is accepted without a reason"},
		{"empty report", "", "", "", "the report"},
		{"report without its head", inGo, "", "", "the report"},
		{"broken report", config + `{"finding"`, "", "", "the report"},
	} {
		t.Run(test.name, func(t *testing.T) {
			name := filepath.Join(t.TempDir(), "accepted.txt")
			if err := os.WriteFile(name, []byte(test.accepted), 0o600); err != nil {
				t.Fatal(err)
			}
			var out bytes.Buffer
			err := run([]string{name}, strings.NewReader(test.report), &out)
			if !strings.Contains(out.String(), test.says) {
				t.Errorf("says %q, want %q", out.String(), test.says)
			}
			if (err != nil) != (test.fails != "") || err != nil && !strings.Contains(err.Error(), test.fails) {
				t.Errorf("error %v, want %q", err, test.fails)
			}
		})
	}
}

func TestUsage(t *testing.T) {
	for _, args := range [][]string{nil, {"a", "b"}, {filepath.Join(t.TempDir(), "absent")}} {
		if err := run(args, strings.NewReader(config), &bytes.Buffer{}); err == nil {
			t.Errorf("%q: no error", args)
		}
	}
}
