package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"resawd/api/key"
)

// makeKey makes a key. The entry for the keys file goes to the standard output, which
// can be appended to the file. The key itself goes to the standard error, and is kept
// nowhere.
func makeKey(_ context.Context, p *program, args []string) error {
	if len(args) == 0 || args[0] != "new" {
		return errors.New("takes new: resawd key new --name NAME >> keys.yaml")
	}
	f := p.flags("key new")
	name := f.String("name", "", "who or what will use the key, such as office-sheet; the log has it")
	roles := f.String("roles", "use", "what it may do: use, prices and metrics, separated by commas")
	expires := f.String("expires", "", "last day on which it is good, such as 2027-12-31; without one it never expires")
	if err := p.parseFlags(f, args[1:]); err != nil {
		return err
	}
	secret, digest := key.New()
	text := fmt.Sprintf("- name: %s\n  sha256: %q\n  roles: [%s]\n", *name, digest, strings.ReplaceAll(*roles, ",", ", "))
	if *expires != "" {
		text += "  expires: " + *expires + "\n"
	}
	if _, err := key.Parse([]byte(text)); err != nil { // what is printed must be readable
		return fmt.Errorf("these flags make no key: %w", err)
	}
	fmt.Fprintf(p.stderr, "The key, shown this once: %s\n", secret)
	_, err := fmt.Fprint(p.stdout, text)
	return err
}
