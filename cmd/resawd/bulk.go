package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"
	"time"

	"resawd/api"
	"resawd/api/endpoint"
)

// bulk answers a table of requests from the standard input, row by row. Arguments
// NAME=VALUE hold for every row.
func bulk(ctx context.Context, p *program, args []string) error {
	f := p.flags("bulk")
	shopFile := f.String("shop", "", shopUsage)
	decimal := decimalFlag(f)
	rest, err := p.parse(f, args)
	if err != nil {
		return err
	}
	comma, err := isComma(*decimal)
	if err != nil {
		return err
	}
	if len(rest) == 0 {
		return errors.New("name a calculator: " + strings.Join(tables(), ", "))
	}
	k, ok := api.CalculatorAt("/v1/" + rest[0])
	if !ok || k.ByPost {
		return fmt.Errorf("there is no calculator %q that takes a table: there are %s", rest[0], strings.Join(tables(), ", "))
	}
	fields, err := pairsOf(rest[1:])
	if err != nil {
		return err
	}
	s, err := p.loadShop(*shopFile)
	if err != nil {
		return err
	}
	b, err := k.NewBulk(&endpoint.Call{Context: ctx, Shop: s, Build: version}, p.stdin, fields, comma)
	if err != nil {
		return err
	}
	return p.answerTable(ctx, b)
}

func decimalFlag(f *flag.FlagSet) *string {
	return f.String("decimal", "point", "decimal sign of tables, point or comma")
}

func isComma(decimal string) (bool, error) {
	if decimal != "point" && decimal != "comma" {
		return false, fmt.Errorf("--decimal is %q: it must be point or comma", decimal)
	}
	return decimal == "comma", nil
}

// tables lists the names of the calculators that take a table.
func tables() (names []string) {
	for _, k := range api.Calculators() {
		if !k.ByPost {
			names = append(names, strings.TrimPrefix(k.Path, "/v1/"))
		}
	}
	return names
}

// pairsOf splits arguments such as units=mm.
func pairsOf(args []string) (fields []endpoint.Pair, err error) {
	for _, arg := range args {
		name, value, ok := strings.Cut(arg, "=")
		if !ok {
			return nil, fmt.Errorf("%q is not of the form NAME=VALUE, such as units=mm", arg)
		}
		fields = append(fields, endpoint.Pair{Name: name, Value: value})
	}
	return fields, nil
}

// answerTable writes the answers and, on a terminal, how far it has come.
func (p *program) answerTable(ctx context.Context, b *endpoint.Bulk) error {
	out := bufio.NewWriterSize(p.stdout, 64<<10)
	line, start := progressLine(p.stderr), time.Now()
	row, err := b.Header(), error(nil)
	for err == nil {
		if _, err = out.Write(row); err == nil {
			row, err = b.Next()
		}
		if b.Rows%1000 == 0 {
			line.tell("%d rows, %d with an error, %.0f a second", b.Rows, b.Failed, float64(b.Rows)/time.Since(start).Seconds())
			err = errors.Join(err, ctx.Err())
		}
	}
	line.clear()
	if errors.Is(err, io.EOF) {
		err = nil
	}
	if err := errors.Join(err, out.Flush()); err != nil {
		return err
	}
	if b.Failed > 0 {
		return fmt.Errorf("%d of %d rows have an error: see the column error", b.Failed, b.Rows)
	}
	return nil
}
