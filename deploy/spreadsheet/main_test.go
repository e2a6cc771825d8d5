package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// TestSameBytes writes the workbook twice: both must be the one that is kept.
func TestSameBytes(t *testing.T) {
	kept, err := os.ReadFile("resawd.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		name := filepath.Join(t.TempDir(), "again.xlsx")
		if err := write(name); err != nil {
			t.Fatal(err)
		}
		again, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(again, kept) {
			t.Fatal("resawd.xlsx is not what this program writes: run go generate")
		}
	}
}
