package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"

	"resawd/api"
	"resawd/api/endpoint"
)

// maxRequest is the length of the longest request file, in bytes.
const maxRequest = 1 << 20

// runSheet prints the run sheet of a request from a file, or from the standard input
// for "-". It needs no server.
func runSheet(ctx context.Context, p *program, args []string) error {
	k, _ := api.CalculatorAt("/v1/run")
	f := p.flags("run")
	format := formatFlag(f, k)
	shopFile := f.String("shop", "", shopUsage)
	files, err := p.parse(f, args)
	if err != nil {
		return err
	}
	if err := offered(k, *format); err != nil {
		return err
	}
	if len(files) != 1 {
		return errors.New("give one request file, the JSON that POST /v1/run takes, or - for the standard input")
	}
	body, err := p.read(files[0])
	if err != nil {
		return err
	}
	s, err := p.loadShop(*shopFile)
	if err != nil {
		return err
	}
	sheet, err := k.Ask(ctx, s, version, endpoint.Body(body), endpoint.Search{})
	if err != nil {
		return err
	}
	return p.print(sheet, *format)
}

// asTable is the format of a table for the terminal: the answer's CSV in columns.
const asTable = "table"

// formatFlag defines the flag for how to print an answer. Text is not among the formats:
// it needs pick.
func formatFlag(f *flag.FlagSet, k *endpoint.Calculator) *string {
	names := []string{asTable}
	for _, name := range k.Formats() {
		if name != endpoint.Text.Name && k.Offers(name) == nil {
			names = append(names, name)
		}
	}
	return f.String("format", asTable, strings.Join(names, ", "))
}

// offered returns an error if an answer cannot be printed in a format.
func offered(k *endpoint.Calculator, format string) error {
	if format == asTable {
		return nil
	}
	return k.Offers(format)
}

// print prints an answer.
func (p *program) print(a *endpoint.Answered, format string) error {
	if format == asTable {
		list, err := a.Render(endpoint.CSV.Name)
		if err != nil {
			return err
		}
		return table(p.stdout, list)
	}
	text, err := a.Render(format)
	if err != nil {
		return err
	}
	_, err = p.stdout.Write(text)
	return err
}

// read reads a file, or the standard input for "-".
func (p *program) read(name string) ([]byte, error) {
	in := p.stdin
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		defer file.Close()
		in = file
	}
	body, err := io.ReadAll(io.LimitReader(in, maxRequest+1))
	if err == nil && len(body) > maxRequest {
		err = fmt.Errorf("%s is longer than %d bytes", name, maxRequest)
	}
	return body, err
}

// table lays out a CSV answer in columns.
func table(w io.Writer, answer []byte) error {
	records, err := csv.NewReader(bytes.NewReader(answer)).ReadAll()
	if err != nil {
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, record := range records {
		for i, cell := range record {
			if cell == "" {
				record[i] = "-"
			}
		}
		fmt.Fprintln(t, strings.Join(record, "\t"))
	}
	return t.Flush()
}
