package main

import (
	"context"
	"fmt"

	"resawd/openapi"
)

// printDocument prints the API document.
func printDocument(_ context.Context, p *program, args []string) error {
	f := p.flags("openapi")
	format := f.String("format", "yaml", "yaml or json")
	rest, err := p.parse(f, args)
	if err != nil {
		return err
	}
	documents := map[string][]byte{"yaml": openapi.YAML, "json": openapi.JSON}
	document, ok := documents[*format]
	if !ok || len(rest) > 0 {
		return fmt.Errorf("takes --format yaml or json and nothing else; given were --format %s and %q", *format, rest)
	}
	_, err = p.stdout.Write(document)
	return err
}
