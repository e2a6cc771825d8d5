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
	"resawd/api/endpoint"
)

// maxRequest is the length of the longest request file, in bytes.
const maxRequest = 1 << 20

// runSheet prints the run sheet of a request from a file, or from the standard input
// for "-". It needs no server.
func runSheet(ctx context.Context, p *program, args []string) error {
	f := p.flags("run")
	format := f.String("format", "table", "table, json, csv, html, svg or xlsx")
	shopFile := f.String("shop", "", shopUsage)
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
	s, err := p.loadShop(*shopFile)
	if err != nil {
		return err
	}
	form := *format
	if form == "table" {
		form = endpoint.CSV.Name
	}
	k, _ := api.CalculatorAt("/v1/run")
	sheet, err := k.Render(ctx, s, version, body, form)
	if err != nil {
		return err
	}
	if *format == "table" {
		return table(p.stdout, sheet)
	}
	_, err = p.stdout.Write(sheet)
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
