package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
)

// python is the interpreter that Debian's bridge to LibreOffice is made for.
const python = "/usr/bin/python3"

// document is what LibreOffice is to open, and how: see testdata/cells.py.
type document struct {
	File   string   `json:"file"`
	Set    []string `json:"set"`
	CSV    string   `json:"csv"`
	PDF    string   `json:"pdf"`
	locale string   // en-US where none is given
}

// cells is what a document's sheets show: numbers, texts and empty cells (nil).
type cells map[string][][]any

// office opens a document in LibreOffice, and returns its cells and the formulas in it.
func office(t *testing.T, d document) (all cells, formulas []string) {
	t.Helper()
	if testing.Short() {
		t.Skip("opens LibreOffice, which takes a while")
	}
	if d.locale == "" {
		d.locale = "en-US"
	}
	offices.Lock()
	defer offices.Unlock()
	if offices.of[d.locale] == nil {
		offices.of[d.locale] = openOffice(t, d.locale)
	}
	all, formulas, err := offices.of[d.locale].read(d)
	if err != nil {
		t.Fatalf("%s: %v: %s", d.File, err, offices.of[d.locale].complaints.String())
	}
	return all, formulas
}

// offices are the running ones, by their locale: starting one takes longer than opening
// a document. TestMain closes them.
var offices = struct {
	sync.Mutex
	of map[string]*officeProcess
}{of: map[string]*officeProcess{}}

// officeProcess is a LibreOffice that opens one document after another.
type officeProcess struct {
	command    *exec.Cmd
	in         io.WriteCloser
	out        *json.Decoder
	complaints bytes.Buffer
	profile    string
}

func openOffice(t *testing.T, locale string) *officeProcess {
	t.Helper()
	needs(t, "soffice")
	needs(t, python)
	if err := exec.Command(python, "-c", "import uno").Run(); err != nil {
		demand(t, "the package python3-uno")
	}
	profile, err := newProfile()
	if err != nil {
		t.Fatal(err)
	}
	o := &officeProcess{command: exec.Command(python, "../../testdata/cells.py", filepath.Join(profile, "profile"), os.TempDir(), locale), profile: profile}
	o.command.Stderr = &o.complaints
	in, inErr := o.command.StdinPipe()
	out, outErr := o.command.StdoutPipe()
	if err := errors.Join(inErr, outErr, o.command.Start()); err != nil {
		t.Fatal(err)
	}
	o.in, o.out = in, json.NewDecoder(out)
	return o
}

// newProfile makes a folder that outlives the test that needs it first.
func newProfile() (string, error) { return os.MkdirTemp("", "office") }

func (o *officeProcess) read(d document) (cells, []string, error) {
	if err := json.NewEncoder(o.in).Encode(d); err != nil {
		return nil, nil, err
	}
	var found struct {
		Sheets   cells
		Formulas []string
	}
	err := o.out.Decode(&found)
	return found.Sheets, found.Formulas, err
}

// closeOffices ends the offices that were started.
func closeOffices() {
	for _, o := range offices.of {
		o.in.Close()
		_ = o.command.Wait()
		_ = os.RemoveAll(o.profile)
	}
}
