package main

import (
	"errors"
	"flag"
	"fmt"
	"strings"
)

// errUsage says that the flags were at fault; what is wrong was told already.
var errUsage = errors.New("usage")

// errHelp says that help was asked for and given.
var errHelp = errors.New("help")

// flags makes a flag set that tells its faults where the program does.
func (p *program) flags(name string) *flag.FlagSet {
	f := flag.NewFlagSet("resawd "+name, flag.ContinueOnError)
	f.SetOutput(p.errors)
	return f
}

// parse reads flags from the environment, then from the arguments, which beat
// it. It gives the arguments that are no flags.
func (p *program) parse(f *flag.FlagSet, args []string) ([]string, error) {
	var wrong error
	f.VisitAll(func(one *flag.Flag) {
		name := "RESAWD_" + strings.ToUpper(strings.ReplaceAll(one.Name, "-", "_"))
		if value := p.getenv(name); value != "" && wrong == nil {
			if err := one.Value.Set(value); err != nil {
				wrong = fmt.Errorf("%s is %q: %w", name, value, err)
			}
		}
	})
	if wrong != nil {
		return nil, wrong
	}
	switch err := f.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return nil, errHelp
	case err != nil:
		return nil, errUsage
	}
	return f.Args(), nil
}
