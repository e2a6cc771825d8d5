package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"

	"resawd/api"
)

// maxRequest bounds a request file.
const maxRequest = 1 << 20

// runSheet reads a request for a run sheet from a file, or from the standard
// input for "-", and prints the sheet. No server is needed.
func runSheet(ctx context.Context, p *program, args []string) error {
	f := p.flags("run")
	format := f.String("format", "table", "table, json, csv, html, svg or xlsx")
	shopFile := f.String("shop", "", "shop file; the built-in demo shop without one")
	files, err := p.parse(f, args)
	if err != nil {
		return err
	}
	if len(files) != 1 {
		return errors.New("give one request file, the JSON that POST /v1/run takes, or - for the standard input")
	}
	body, err := p.read(files[0])
	if err != nil {
		return err
	}
	s, err := loadShop(*shopFile)
	if err != nil {
		return err
	}
	k, _ := api.CalculatorAt("/v1/run")
	if *format != "table" {
		sheet, err := k.Render(ctx, s, version, body, *format)
		if err != nil {
			return err
		}
		_, err = p.out.Write(sheet)
		return err
	}
	sheet, err := k.Render(ctx, s, version, body, "csv")
	if err != nil {
		return err
	}
	return table(p.out, sheet)
}

// read reads a file, or the standard input for "-".
func (p *program) read(name string) ([]byte, error) {
	in := p.in
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

// table lays a csv answer out in columns.
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
