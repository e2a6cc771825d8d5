package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// python is the interpreter that Debian's bridge to LibreOffice is made for.
const python = "/usr/bin/python3"

// TestSpreadsheet opens the example sheet in LibreOffice: its cells ask the
// service, one for a value and one for what is wrong.
func TestSpreadsheet(t *testing.T) {
	if testing.Short() {
		t.Skip("opens LibreOffice, which takes a while")
	}
	needs(t, "soffice")
	needs(t, python)
	if err := exec.CommandContext(t.Context(), python, "-c", "import uno").Run(); err != nil {
		demand(t, "the package python3-uno")
	}
	sheet, err := os.ReadFile("../../deploy/spreadsheet/dial.fods")
	if err != nil {
		t.Fatal(err)
	}
	s := start(t)
	defer s.stop()
	folder := t.TempDir()
	file := filepath.Join(folder, "dial.fods")
	if err := os.WriteFile(file, bytes.ReplaceAll(sheet, []byte("http://127.0.0.1:8080/"), []byte(s.url)), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), python, "../../testdata/recalculate.py", filepath.Join(folder, "profile"), file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	want := "0.95\nerror: leaf_thickness: must be above 0 in; -0.05 in was given"
	if got := strings.TrimSpace(string(out)); got != want {
		t.Errorf("the cells say\n%s\nwant\n%s", got, want)
	}
}
