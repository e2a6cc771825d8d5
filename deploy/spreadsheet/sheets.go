package main

import (
	"fmt"
	"strings"
)

// Rows of every sheet of a calculator.
const (
	headRow  = 4
	fieldRow = 5
	firstRow = 6

	figureWidth = 14
	noteWidth   = 80
)

// start is the sheet with what all the others use.
func (b *book) start() {
	b.add("Start", "A workbook of examples: its cells ask the service resawd. Write into the yellow cells.")
	b.width(1, 22)
	b.width(2, 52)
	settings := []struct{ name, value, about string }{
		{"service", "http://127.0.0.1:8080", "where the service listens"},
		{"units", "in", "in or mm: of every length without a unit of its own, and of every answer"},
		{"decimal", `=IF(MID(1/2,2,1)=",","comma","point")`, "the decimal sign that this program writes; found by itself"},
		{"common", `="units="&units&"&decimal="&decimal&"&format=text&errors=cell"`, "what every request says: one value as text, and an error as text too"},
	}
	row := headRow
	for _, s := range settings {
		look := input
		if s.value[0] == '=' {
			look = told
		}
		b.put(1, row, heading, s.name)
		b.put(2, row, look, s.value)
		b.put(3, row, note, s.about)
		b.name(s.name, fmt.Sprintf("$B$%d", row))
		row++
	}
	for i, line := range []string{
		"A program asks before a document may call a service: LibreOffice in a bar over the sheet (Allow updating), Excel for Windows in one too (Enable content).",
		"A length is a number, or words with a unit of their own: 1-7/8 in, 2 mm. Type an apostrophe before a fraction, or it becomes a date.",
		"An empty yellow cell leaves the field out: the service takes it from the shop file.",
		"The grey names over the columns are the service's own: write another field's name there and the formulas ask for that one.",
		"To go on, copy the last row down. The column request holds the address that a row asks: open it in a browser without format=text to see all of the answer.",
	} {
		b.put(1, row+1+i, plain, line)
	}
}

// calculator is a sheet of requests, a row each.
func (b *book) calculator(c *calculator) {
	b.add(c.name, c.about)
	b.freeze(firstRow)
	request, fault := len(c.inputs)+len(c.answers)+2, len(c.inputs)+len(c.answers)+1
	for i, in := range append(append([]column{}, c.inputs...), c.answers...) {
		b.column(i+1, headRow, in)
	}
	b.put(fault, headRow, heading, "what is wrong")
	b.width(fault, noteWidth)
	b.put(request, headRow, heading, "request")
	b.width(request, noteWidth)
	for i, values := range c.rows {
		row := firstRow + i
		for j, value := range values {
			b.put(j+1, row, input, value)
		}
		asks := "$" + at(request, row)
		b.put(request, row, note, requestFormula(c.path, len(c.inputs), row))
		for j, out := range c.answers {
			answer := ask(asks, at(len(c.inputs)+j+1, fieldRow))
			b.put(len(c.inputs)+j+1, row, out.style, out.style.shown(answer))
		}
		b.put(fault, row, told, asFault(ask(asks, at(len(c.inputs)+1, fieldRow))))
	}
	b.printed(fault, firstRow+len(c.rows)-1)
}

// column writes the two heads of a column.
func (b *book) column(at, row int, c column) {
	b.put(at, row, above, c.head)
	b.put(at, row+1, field, c.field)
	b.width(at, figureWidth)
}

// shown is the formula that shows an answer in a style.
func (s style) shown(answer string) string {
	if s == words {
		return asWords(answer)
	}
	return asNumber(answer)
}

// requestFormula joins a request from the first cells of a row, by the fields named above
// them; empty cells are left out.
func requestFormula(path string, inputs, row int) string {
	var f strings.Builder
	fmt.Fprintf(&f, `=IF(RIGHT(service)="/",LEFT(service,LEN(service)-1),service)&%q&common`, path+"?")
	for i := range inputs {
		name, cell := at(i+1, fieldRow), at(i+1, row)
		fmt.Fprintf(&f, `&IF(%s="","","&"&%s&"="&_xlfn.ENCODEURL(%s))`, cell, name, cell)
	}
	return f.String()
}

// The schedule's rows: its request stands as on the other sheets.
const (
	stepsHead  = 9
	stepsNames = stepsHead + 1 // the fields
	firstStep  = stepsHead + 2
	stepCount  = 12
)

// schedule is the sheet of every move of the dial.
func (b *book) schedule() {
	b.add("Schedule", "Every move of the dial for a run of leaves, and where it stands after each.")
	inputs := []column{
		{"leaf thickness", "leaf_thickness", input}, {"leaves", "leaf_count", input}, {"kerf", "kerf", input},
		{"skim", "skim", input}, {"first reading", "start_reading", input},
	}
	request := len(inputs) + 2
	for i, value := range []any{0.05, 6, 0.045, 0.03, 0} {
		b.column(i+1, headRow, inputs[i])
		b.put(i+1, firstRow, input, value)
	}
	b.put(request, headRow, heading, "request")
	b.put(request, firstRow, note, requestFormula("/v1/dial", len(inputs), firstRow))
	asks := fixed(request, firstRow)
	b.put(1, firstRow+1, plain, asFault(ask(asks, `"advance"`)))
	b.steps(asks)
	b.put(1, firstStep+stepCount+1, note, fmt.Sprintf(`=IF(ISNUMBER(VALUE(%s)),"the schedule goes on: copy the last row down","")`, ask(asks, fmt.Sprintf(`"steps/%d/reading"`, stepCount))))
}

// steps is the table of moves; each cell asks for its place in the answer.
func (b *book) steps(request string) {
	columns := []column{
		{"cut", "cut", number}, {"for", "purpose", words}, {"whole turns", "whole_turns", number}, {"divisions", "divisions", number},
		{"reading after it", "reading", number}, {"position after it", "position", lengthOut}, {"leaf", "leaf", lengthOut},
	}
	for j, c := range columns {
		b.column(j+1, stepsHead, c)
		for i := range stepCount {
			row := firstStep + i
			place := fmt.Sprintf(`"steps/"&(ROW()-%d)&"/"&%s`, firstStep, fixed(j+1, stepsNames))
			b.put(j+1, row, c.style, c.style.shown(ask(request, place)))
		}
	}
	b.freeze(firstStep)
	b.printed(len(columns), firstStep+stepCount+1)
}
