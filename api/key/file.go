package key

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/parser"

	"resawd/api/configfile"
)

// The limits of a keys file.
const (
	maxKeys = 1000
	maxName = 60
)

// entry is a key as the file has it.
type entry struct {
	Name    string   `yaml:"name"`
	SHA256  string   `yaml:"sha256"`
	Roles   []string `yaml:"roles"`
	Expires string   `yaml:"expires"`
}

// Read reads the keys file at a path.
func Read(path string) (read *Ring, err error) {
	text, err := configfile.Read(path)
	if err == nil {
		read, err = Parse(text)
	}
	if err != nil {
		return nil, fmt.Errorf("keys file %s:\n%w", path, err)
	}
	return read, nil
}

// Parse reads the text of a keys file: a list of entries as "resawd key new" prints
// them. The error lists every fault, and never contains a digest.
func Parse(file []byte) (*Ring, error) { return configfile.Parse(file, parse) }

func parse(text []byte) (*Ring, error) {
	tree, err := parser.ParseBytes(text, 0)
	if err != nil {
		return nil, configfile.Fault(err)
	}
	var entries []entry
	err = yaml.NewDecoder(bytes.NewReader(text), yaml.Strict()).Decode(&entries)
	switch {
	case errors.Is(err, io.EOF) || err == nil && len(entries) == 0:
		return nil, errors.New("it holds no key; make one with: resawd key new")
	case err != nil:
		return nil, configfile.Fault(err)
	case len(entries) > maxKeys:
		return nil, fmt.Errorf("it holds %d keys; the most is %d", len(entries), maxKeys)
	}
	ring := &Ring{keys: make([]Key, len(entries))}
	var faults []error
	for i, e := range entries {
		for _, f := range e.read(&ring.keys[i], ring.keys[:i]) {
			at := configfile.Line(tree, fmt.Sprintf("[%d].%s", i, f.field))
			faults = append(faults, fmt.Errorf("line %d: %s", at, f.detail))
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return ring, nil
}

// fault is something wrong with a field of an entry.
type fault struct{ field, detail string }

// read fills in a key, and returns what is wrong with its entry.
func (e *entry) read(k *Key, before []Key) (faults []fault) {
	wrong := func(field, format string, args ...any) {
		faults = append(faults, fault{field, fmt.Sprintf(format, args...)})
	}
	k.Name = e.Name
	if !ValidName(e.Name) {
		wrong("name", nameRule)
	}
	digest, err := hex.DecodeString(e.SHA256)
	whole := err == nil && len(digest) == sha256.Size
	if whole {
		k.digest = [sha256.Size]byte(digest)
	} else {
		wrong("sha256", "sha256 must be the 64 hexadecimal digits that resawd key new prints")
	}
	for i := range before {
		if before[i].Name == e.Name {
			wrong("name", "name is %q, like that of key %d", e.Name, i+1)
		}
		if whole && before[i].digest == k.digest {
			wrong("sha256", "sha256 is that of key %d: it is the same key", i+1)
		}
	}
	if k.Roles, err = parseRoles(e.Roles); err != nil {
		wrong("roles", "%v", err)
	}
	if k.Expires, err = parseExpiry(e.Expires); err != nil {
		wrong("expires", "%v", err)
	}
	return faults
}

const nameLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-"

const nameRule = "name must have 1 to 60 letters, digits, dots, dashes or underscores"

// ValidName reports whether a key may have a name: one that can stand in a log and in a
// metric as it is.
func ValidName(name string) bool {
	isOther := func(r rune) bool { return !strings.ContainsRune(nameLetters, r) }
	return name != "" && len(name) <= maxName && !strings.ContainsFunc(name, isOther)
}

// parseRoles reads roles, of which there must be at least one.
func parseRoles(names []string) ([]Role, error) {
	roles := make([]Role, 0, len(names))
	for _, name := range names {
		if !slices.Contains(allRoles, Role(name)) {
			return nil, fmt.Errorf("roles are use, prices and metrics; %q was given", name)
		}
		roles = append(roles, Role(name))
	}
	if len(roles) == 0 {
		return nil, errors.New("roles is missing: give use, prices or metrics")
	}
	return roles, nil
}

// parseExpiry reads the last day of a key, in UTC. It returns the end of that day, or
// the zero time if there is none.
func parseExpiry(day string) (time.Time, error) {
	if day == "" {
		return time.Time{}, nil
	}
	last, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return time.Time{}, fmt.Errorf("expires must be a day such as 2027-12-31; %q was given", day)
	}
	return last.AddDate(0, 0, 1), nil
}
