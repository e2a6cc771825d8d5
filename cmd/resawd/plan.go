package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"resawd/api"
	"resawd/api/calculator"
	"resawd/api/endpoint"
)

// printPlan prints the plan of an order: a request from a file, or from the standard
// input for "-", or the boards and the parts from a table each. An interrupt ends the
// search with the best plan so far.
func printPlan(ctx context.Context, p *program, args []string) error {
	k, _ := api.CalculatorAt("/v1/plan")
	f := p.flags("plan")
	format := formatFlag(f, k)
	shopFile := f.String("shop", "", shopUsage)
	limit := span(f, "time-limit", 0, 0, longest, "time after which to take the best plan so far, in place of the request's own limit; 0 keeps that")
	tables := planTables{decimal: decimalFlag(f)}
	f.StringVar(&tables.boards, "boards", "", "table of the boards on the rack, as CSV with the names of fields in its first row")
	f.StringVar(&tables.parts, "parts", "", "table of the parts wanted, as CSV with the names of fields in its first row")
	rest, err := p.parse(f, args)
	if err != nil {
		return err
	}
	if err := offered(k, *format); err != nil {
		return err
	}
	request, err := p.planRequest(tables, rest)
	if err != nil {
		return err
	}
	s, err := p.loadShop(*shopFile)
	if err != nil {
		return err
	}
	progress := progressLine(p.stderr)
	plan, err := k.Ask(ctx, s, version, request, endpoint.Search{TimeLimit: *limit, Progress: progress.show})
	progress.clear()
	if err != nil {
		return err
	}
	if err := p.print(plan, *format); err != nil || *format != asTable {
		return err
	}
	return p.planSummary(plan)
}

// planTables are the flags for the tables of an order.
type planTables struct {
	boards, parts string
	decimal       *string
}

// planRequest reads the request for a plan. With tables, the arguments are its other
// fields, such as units=mm; without, they name a file.
func (p *program) planRequest(t planTables, args []string) (in endpoint.Fields, err error) {
	if t.boards == "" && t.parts == "" {
		if len(args) != 1 {
			return in, errors.New("give one request file, the JSON that POST /v1/plan takes, or - for the standard input, or two tables by --boards and --parts")
		}
		body, err := p.read(args[0])
		return endpoint.Body(body), err
	}
	if t.boards == "" || t.parts == "" {
		return in, errors.New("--boards and --parts go together")
	}
	comma, err := isComma(*t.decimal)
	if err != nil {
		return in, err
	}
	fields, err := pairsOf(args)
	if err != nil {
		return in, err
	}
	boards, err := p.read(t.boards)
	if err != nil {
		return in, err
	}
	parts, err := p.read(t.parts)
	if err != nil {
		return in, err
	}
	return endpoint.Tables(fields, comma,
		endpoint.Table{Name: filepath.Base(t.boards), List: "boards", Text: boards},
		endpoint.Table{Name: filepath.Base(t.parts), List: "parts", Text: parts}), nil
}

// planSummary prints below the cut list how good the plan is, what it leaves unmet, and
// its warnings.
func (p *program) planSummary(plan *endpoint.Answered) error {
	a, ok := plan.Answer.(*calculator.PlanAnswer)
	if !ok {
		return fmt.Errorf("the answer is a %T, not a plan", plan.Answer)
	}
	var text strings.Builder
	fmt.Fprintf(&text, "\nstatus %s, cost %s %s, lower bound %s, gap %.2f %%, stopped by %s\n",
		a.Status, a.Cost.Tell(0), a.Currency, a.LowerBound.Tell(0), 100*a.Gap, a.StoppedBy)
	for _, u := range a.Unmet {
		fmt.Fprintf(&text, "unmet: %d of %s\n", u.Quantity, cmp.Or(u.Part, u.Kit))
	}
	for _, warning := range a.Warnings {
		fmt.Fprintf(&text, "warning: %s\n", warning)
	}
	_, err := io.WriteString(p.stdout, text.String())
	return err
}
