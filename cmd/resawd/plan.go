package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"resawd/api"
	"resawd/api/calculator"
	"resawd/api/endpoint"
)

// printPlan prints the plan of an order: a request from a file, or from the standard
// input for "-", or the boards and the parts from a table each. An interrupt ends the
// search with the best plan so far.
func printPlan(ctx context.Context, p *program, args []string) error {
	f := p.flags("plan")
	format := f.String("format", "table", "table, "+strings.Join(planFormats(), ", "))
	shopFile := f.String("shop", "", shopUsage)
	limit := span(f, "time-limit", 0, 0, longest, "time after which to take the best plan so far, in place of the request's own limit; 0 keeps that")
	tables := planTables{decimal: decimalFlag(f)}
	f.StringVar(&tables.boards, "boards", "", "table of the boards on the rack, as CSV with the names of fields in its first row")
	f.StringVar(&tables.parts, "parts", "", "table of the parts wanted, as CSV with the names of fields in its first row")
	rest, err := p.parse(f, args)
	if err != nil {
		return err
	}
	k, _ := api.CalculatorAt("/v1/plan")
	if *format != "table" {
		if err := k.Offers(*format); err != nil {
			return err
		}
	}
	request, err := p.planRequest(tables, rest)
	if err != nil {
		return err
	}
	s, err := loadShop(*shopFile)
	if err != nil {
		return err
	}
	progress := progressLine(p.errors)
	plan, err := k.Ask(ctx, s, version, request, endpoint.Search{TimeLimit: *limit, Progress: progress.show})
	progress.clear()
	if err != nil {
		return err
	}
	if *format == "table" {
		return p.planTable(plan)
	}
	text, err := plan.Render(*format)
	if err != nil {
		return err
	}
	_, err = p.out.Write(text)
	return err
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

// planFormats lists the forms that a plan can be printed in. Text is not one of them:
// it needs pick.
func planFormats() (names []string) {
	k, _ := api.CalculatorAt("/v1/plan")
	for _, name := range k.Formats() {
		if name != "text" && k.Offers(name) == nil {
			names = append(names, name)
		}
	}
	return names
}

// planTable prints the cut list and a summary of the plan.
func (p *program) planTable(plan *endpoint.Answered) error {
	list, err := plan.Render("csv")
	if err != nil {
		return err
	}
	if err := table(p.out, list); err != nil {
		return err
	}
	words := map[string]string{}
	for _, name := range []string{"status", "stopped_by", "cost", "lower_bound", "gap", "currency"} {
		if words[name], err = plan.Pick(name); err != nil {
			return err
		}
	}
	gap, err := strconv.ParseFloat(words["gap"], 64)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.out, "\nstatus %s, cost %s %s, lower bound %s, gap %.2f %%, stopped by %s\n",
		words["status"], words["cost"], words["currency"], words["lower_bound"], 100*gap, words["stopped_by"])
	if err != nil {
		return err
	}
	return p.planNotes(plan)
}

// planNotes prints what the plan leaves unmet, and its warnings.
func (p *program) planNotes(plan *endpoint.Answered) (err error) {
	for i := 0; err == nil; i++ {
		quantity, none := plan.Pick(fmt.Sprintf("unmet/%d/quantity", i))
		if none != nil {
			break
		}
		what, isKit := plan.Pick(fmt.Sprintf("unmet/%d/part", i))
		if isKit != nil {
			what, _ = plan.Pick(fmt.Sprintf("unmet/%d/kit", i))
		}
		_, err = fmt.Fprintf(p.out, "unmet: %s of %s\n", quantity, what)
	}
	for i := 0; err == nil; i++ {
		warning, none := plan.Pick(fmt.Sprintf("warnings/%d", i))
		if none != nil {
			break
		}
		_, err = fmt.Fprintf(p.out, "warning: %s\n", warning)
	}
	return err
}

// liveLine is a line of a terminal that is written over and over. Without a terminal it
// writes nothing.
type liveLine struct {
	w    io.Writer // nil without a terminal
	last time.Time
	used bool
}

// progressLine makes a line on a writer, if that is a terminal.
func progressLine(w io.Writer) *liveLine {
	if file, ok := w.(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			return &liveLine{w: w}
		}
	}
	return &liveLine{}
}

// lineEvery is the shortest time between two writes, which keeps the line readable.
const lineEvery = 100 * time.Millisecond

// show writes how far a search has come.
func (l *liveLine) show(progress any) {
	if p, ok := progress.(calculator.PlanProgress); ok {
		l.tell("best cost %s, bound %s, gap %.2f %%, %.1f s (Ctrl-C takes this plan)", p.Cost.Tell(0), p.LowerBound.Tell(0), 100*p.Gap, p.Seconds)
	}
}

// tell writes the line, unless it was written a moment ago.
func (l *liveLine) tell(format string, args ...any) {
	if l.w == nil || time.Since(l.last) < lineEvery {
		return
	}
	l.last, l.used = time.Now(), true
	fmt.Fprintf(l.w, "\r\x1b[K"+format, args...)
}

// clear removes the line.
func (l *liveLine) clear() {
	if l.used {
		fmt.Fprint(l.w, "\r\x1b[K")
	}
}
