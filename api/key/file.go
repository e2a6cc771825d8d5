package key

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/goccy/go-yaml"

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
	var entries []entry
	err := yaml.NewDecoder(bytes.NewReader(text), yaml.Strict()).Decode(&entries)
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
		for _, fault := range e.read(&ring.keys[i], ring.keys[:i]) {
			faults = append(faults, fmt.Errorf("key %d: %s", i+1, fault))
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return ring, nil
}

// read fills in a key, and returns what is wrong with its entry.
func (e *entry) read(k *Key, before []Key) (faults []string) {
	k.Name = e.Name
	if !ValidName(e.Name) {
		faults = append(faults, nameRule)
	}
	if slices.ContainsFunc(before, func(b Key) bool { return b.Name == e.Name }) {
		faults = append(faults, fmt.Sprintf("its name %q is also that of another key", e.Name))
	}
	if digest, err := hex.DecodeString(e.SHA256); err != nil || copy(k.digest[:], digest) != len(k.digest) || len(digest) != len(k.digest) {
		faults = append(faults, "sha256 must be the 64 hexadecimal digits that resawd key new prints")
	}
	var err error
	if k.Roles, err = parseRoles(e.Roles); err != nil {
		faults = append(faults, err.Error())
	}
	if k.Expires, err = parseExpiry(e.Expires); err != nil {
		faults = append(faults, err.Error())
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
