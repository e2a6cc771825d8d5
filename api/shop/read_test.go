package shop_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"resawd/api/shop"
)

// demoFile is the text of the demo shop.
func demoFile(t testing.TB) []byte {
	t.Helper()
	text, err := os.ReadFile("demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func written(t *testing.T, text []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.yaml")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// Editors of Windows begin a file with a byte-order mark and end lines with
// CR and LF.
func TestReadAsEditorsWrite(t *testing.T) {
	text := bytes.ReplaceAll(demoFile(t), []byte("\n"), []byte("\r\n"))
	s, err := shop.Read(written(t, append([]byte("\xEF\xBB\xBF"), text...)))
	if err != nil || len(s.Saws) != 2 {
		t.Errorf("shop %+v, error %v", s, err)
	}
}

func TestReadRefuses(t *testing.T) {
	device := filepath.Join(t.TempDir(), "shop.yaml")
	if err := os.Symlink("/dev/zero", device); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, path, want string }{
		{"nothing there", "nowhere.yaml", "shop file nowhere.yaml:\nno such file or directory"},
		{"a folder", t.TempDir(), "it is a folder; name a file in it"},
		{"a device", device, "it is a device or a pipe, not a regular file"},
		{"an empty file", written(t, nil), "it is empty"},
		{"white space", written(t, []byte(" \n\n")), "it is empty"},
		{"a mark alone", written(t, []byte("\xEF\xBB\xBF")), "it is empty"},
		{"comments alone", written(t, []byte("# a shop\n---\n")), "it is empty"},
		{"two bytes a letter", written(t, []byte("\xFF\xFEu\x00n\x00")), "it is not text in UTF-8"},
		{"zero bytes", written(t, []byte("units: in\x00")), "it is not text in UTF-8"},
		{"a long file", written(t, bytes.Repeat([]byte("# again\n"), 32769)), "it is longer than the limit of 262144 bytes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := shop.Read(c.path); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
}

// What is nested too deep is refused before it is parsed. Brackets as deep took
// the parser 25 s.
func TestHostileFiles(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"brackets", strings.Repeat("[", 100_000), "line 1: brackets are nested more than 10 deep"},
		{"brackets, a line each", strings.Repeat("[\n", 50_000), "line 11: brackets are nested more than 10 deep"},
		{"braces", "units: in\nname: " + strings.Repeat("{x: ", 30_000), "line 2: brackets are nested more than 10 deep"},
		{"lists in lists", strings.Repeat("- ", 50_000), "line 1: a list entry begins in column 101"},
		{"keys in keys", strings.Repeat("? ", 50_000), "line 1: a list entry begins in column 101"},
		{"aliases", "a: &a [x, x]\nb: &b [*a, *a]\nname: *b\n", "line 1: anchors (&) and aliases (*) are not read"},
		{"a tag", "units: in\nsaws: !saw\n", "line 2: tags (!) are not read"},
		{"a tag of nothing", "units: in\nsaws: !saw \x12", "line 2: tags (!) are not read"},
		{"faults", "units: in\nsaws:\n" + numbered("  - name: x%d\n", 100), "\nand "},
	} {
		t.Run(c.name, func(t *testing.T) {
			start := time.Now()
			_, err := shop.Parse([]byte(c.text))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
			if took := time.Since(start); took > 3*time.Second {
				t.Errorf("it took %s", took)
			}
		})
	}
}

// numbered repeats a line with the numbers from 1.
func numbered(line string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, line, i+1)
	}
	return b.String()
}

// Brackets and signs in comments and in quotes nest nothing.
func TestSignsInWords(t *testing.T) {
	comments := strings.Repeat("# [ { & * - ?\n", 20)
	text := strings.Replace(string(demoFile(t)), "name: Demo shop", `name: "[[[[[[[[[[[[ & * {{{{{{{{{{{{"`, 1)
	if _, err := shop.Parse([]byte(comments + text)); err != nil {
		t.Error(err)
	}
}

// FuzzParse: no file makes the reader panic or take long.
func FuzzParse(f *testing.F) {
	f.Add(demoFile(f))
	f.Add([]byte("saws: [{name: x}]"))
	f.Fuzz(func(t *testing.T, text []byte) {
		start := time.Now()
		s, err := shop.Parse(text)
		if (s == nil) == (err == nil) {
			t.Errorf("shop %v, error %v", s, err)
		}
		if took := time.Since(start); took > 5*time.Second { // the machine may be busy
			t.Errorf("it took %s", took)
		}
	})
}
