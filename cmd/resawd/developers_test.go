package main

import (
	"go/scanner"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// tree is what a checkout has that a page can name.
type tree struct {
	paths []string        // of files and folders, from the root
	words map[string]bool // in Go files, identifiers and what texts and tags are made of; and in the gate
}

// readTree reads the checkout.
func readTree(t *testing.T) tree {
	t.Helper()
	all := tree{words: map[string]bool{}}
	err := filepath.WalkDir("../..", func(at string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || d.Name() == "node_modules") {
			return filepath.SkipDir
		}
		all.paths = append(all.paths, strings.TrimPrefix(filepath.ToSlash(at), "../../"))
		gate := strings.HasSuffix(filepath.ToSlash(at), "/.ci/run")
		if path.Ext(at) != ".go" && !gate || d.Name() == "developers_test.go" {
			return nil
		}
		text, err := os.ReadFile(at)
		if gate {
			all.note(string(text))
		} else {
			all.read(text)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// read notes the words of a Go file, but not those of its comments.
func (all *tree) read(text []byte) {
	var s scanner.Scanner
	set := token.NewFileSet()
	s.Init(set.AddFile("", set.Base(), len(text)), text, nil, 0)
	for {
		_, kind, literal := s.Scan()
		if kind == token.EOF {
			return
		}
		all.note(literal)
	}
}

// note notes the words of a text.
func (all *tree) note(text string) {
	for _, w := range word.FindAllString(text, -1) {
		all.words[w] = true
	}
}

// has reports whether there is a path, or one that ends in it, which may have an asterisk.
func (all *tree) has(name string) bool {
	name = strings.TrimSuffix(name, "/")
	depth := strings.Count(name, "/") + 1
	return slices.ContainsFunc(all.paths, func(p string) bool {
		steps := strings.Split(p, "/")
		ok, _ := path.Match(name, strings.Join(steps[max(0, len(steps)-depth):], "/"))
		return ok
	})
}

var (
	word   = regexp.MustCompile(`[A-Za-z_]\w*`)
	fenced = regexp.MustCompile("(?s)```.*?```")
	ticked = regexp.MustCompile("`([^`\n]+)`")
	aFile  = regexp.MustCompile(`[\w/.*-]*\w\.(go|js|json|csv|yaml|yml|txt|html|css|http|xlsx|md)\b`)
	aTest  = regexp.MustCompile(`\b(Test|Fuzz)[A-Z]\w*`)
	inRoom = regexp.MustCompile(`(\w+): ((?:[\w*]+\.go(?:, )?)+)`)
	// firstColumn is what a line of the lists of folders begins with.
	firstColumn = regexp.MustCompile(`^ *(?:(?:\S+/ +)+|\S+)`)
	link        = regexp.MustCompile(`\]\(([^)#]*)[^)]*\)`)
	elsewhere   = []string{"Node.js", "axe.min.js", "/usr/share/sbom/resawd.cdx.json"}        // of others, or in an image
	stands      = regexp.MustCompile(`NAME|SUBJECT|FILE|FOLDER|REASON|HIGH|Name(Request|\()`) // what a reader puts something in place of
)

// TestDevelopers: the files, tests and names that DEVELOPERS.md speaks of are there, the
// planner's files in the rooms that its tables give.
func TestDevelopers(t *testing.T) {
	page, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	all, text := readTree(t), string(page)
	files := aFile.FindAllString(text, -1)
	for _, name := range files {
		if !all.has(name) && !slices.Contains(elsewhere, name) && !stands.MatchString(name) {
			t.Errorf("there is no file %s", name)
		}
	}
	for _, m := range inRoom.FindAllStringSubmatch(text, -1) {
		for name := range strings.SplitSeq(m[2], ", ") {
			if !all.has(m[1] + "/" + name) {
				t.Errorf("there is no file %s in %s", name, m[1])
			}
		}
	}
	for _, name := range aTest.FindAllString(text, -1) {
		if !all.words[name] {
			t.Errorf("there is no test %s", name)
		}
	}
	for _, block := range fenced.FindAllString(text, -1) {
		for line := range strings.Lines(strings.Trim(block, "`\n")) {
			for name := range strings.FieldsSeq(firstColumn.FindString(line)) {
				if !all.has(name) {
					t.Errorf("there is no folder %s", name)
				}
			}
		}
	}
	names := ticked.FindAllStringSubmatch(fenced.ReplaceAllString(text, ""), -1)
	for _, m := range names {
		if all.has(m[1]) || slices.Contains(elsewhere, m[1]) || stands.MatchString(m[1]) {
			continue
		}
		for _, w := range word.FindAllString(m[1], -1) {
			if !all.words[w] && !all.has(w) {
				t.Errorf("nothing is called %s, as in `%s`", w, m[1])
			}
		}
	}
	if len(files) < 50 || len(names) < 100 {
		t.Errorf("found only %d files and %d names", len(files), len(names))
	}
}

// TestLinks: what pages of the repository link to is there.
func TestLinks(t *testing.T) {
	found := 0
	for _, page := range []string{"README.md", "DEVELOPERS.md", "SECURITY.md"} {
		text, err := os.ReadFile("../../" + page)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if strings.Contains(m[1], "://") || m[1] == "" {
				continue
			}
			found++
			if _, err := os.Stat("../../" + m[1]); err != nil {
				t.Errorf("%s links to %s: %v", page, m[1], err)
			}
		}
	}
	if found < 5 {
		t.Errorf("found only %d links", found)
	}
}
