// Command spreadsheet writes resawd.xlsx, a workbook of examples whose cells
// ask the service. go generate runs it in this folder.
//
// On every sheet of a calculator a row is a request. The grey names over the
// columns are the fields that the service knows: over a yellow column one of
// the request, over a white one a place in the answer. The formulas read these
// names, so another field is asked by writing another name.
package main

import (
	"bytes"
	"fmt"
	"os"
)

//go:generate go run .

func main() {
	if err := write("resawd.xlsx"); err != nil {
		fmt.Fprintln(os.Stderr, "spreadsheet:", err)
		os.Exit(1)
	}
}

func write(name string) error {
	b, err := newBook()
	if err != nil {
		return err
	}
	b.start()
	for i := range sheets {
		b.calculator(&sheets[i])
	}
	b.schedule()
	if b.err != nil {
		return b.err
	}
	var book bytes.Buffer
	if _, err := b.file.WriteTo(&book); err != nil {
		return err
	}
	return os.WriteFile(name, book.Bytes(), 0o600)
}

// calculator is a sheet that asks one calculator, a request a row.
type calculator struct {
	name, path, about string
	inputs, answers   []column
	rows              [][]any
}

// column is a field of the request, or a value of the answer.
type column struct {
	head  string // for people
	field string // for the service: a field's name, or a place in the answer
	style style
}

var sheets = []calculator{
	{
		name: "Yield", path: "/v1/yield",
		about: "How many leaves a board gives, and how much thicker it must be for one more.",
		inputs: []column{
			{"board thickness", "board_thickness", input}, {"leaf thickness", "leaf_thickness", input}, {"kerf", "kerf", input},
			{"skim", "skim", input}, {"hold-back", "hold_back", input},
		},
		answers: []column{
			{"leaves", "leaf_count", number}, {"cuts", "cut_count", number}, {"advance", "advance", lengthOut}, {"recovery", "recovery", percent},
			{"stays on the fence", "left_on_fence", lengthOut}, {"short by", "short_by", lengthOut},
		},
		rows: [][]any{
			{2.0, 0.05, 0.045, 0.03, 0.25},
			{"1-7/8 in", "1/16 in", 0.045, 0.03, 0.25},
			{2.0, 0.05, nil, nil, nil},
			{0.25, 0.5, 0.045, 0.03, 0.25},
		},
	},
	{
		name: "Turns", path: "/v1/dial",
		about: "How far to turn the dial for one leaf: turns, or whole turns and divisions.",
		inputs: []column{
			{"leaf thickness", "leaf_thickness", input}, {"kerf", "kerf", input}, {"lead", "lead", input}, {"divisions per turn", "divisions_per_turn", input},
		},
		answers: []column{
			{"advance", "advance", lengthOut}, {"turns", "turns", turns}, {"whole turns", "whole_turns", number}, {"divisions", "divisions", number},
			{"leaf off by", "leaf_deviation", lengthOut},
		},
		rows: [][]any{
			{0.05, 0.045, nil, nil},
			{0.0625, 0.045, nil, nil},
			{"2 mm", 0.045, 0.05, 50},
			{-0.05, 0.045, nil, nil},
		},
	},
	{
		name: "Feed time", path: "/v1/feed",
		about: "How long a run takes, in seconds, and how far the board moves while a tooth passes.",
		inputs: []column{
			{"length of cut", "cut_length", input}, {"feed a minute", "feed", input}, {"cuts", "cut_count", input}, {"handling, s", "handle_seconds", input},
			{"dialling, s", "index_seconds", input}, {"setting up, s", "setup_seconds", input},
		},
		answers: []column{
			{"one cut, s", "cut_seconds", number}, {"the run, s", "run_seconds", number}, {"of it cutting, s", "breakdown/cutting_seconds", number},
			{"feed per tooth", "feed_per_tooth", tooth},
		},
		rows: [][]any{
			{36, 10, 12, 30, 20, 1800},
			{24, 8, 20, 30, 20, 1800},
			{36, nil, 12, nil, nil, nil},
		},
	},
	{
		name: "Blade", path: "/v1/blade",
		about: "Which of the shop's blades to mount, and the teeth per inch that suit.",
		inputs: []column{
			{"height in the blade", "stock_height", input}, {"species", "species", input}, {"goal", "goal", input}, {"leaf thickness", "leaf_thickness", input},
		},
		answers: []column{
			{"first choice", "ranking/0/blade", words}, {"suits", "ranking/0/suits", words}, {"its kerf", "ranking/0/kerf", lengthOut},
			{"lost to the kerf", "ranking/0/kerf_loss", percent}, {"tpi from", "tpi_low", number}, {"tpi to", "tpi_high", number},
		},
		rows: [][]any{
			{6, "walnut, black", "finish", 0.05},
			{8, "maple, sugar", "recovery", 0.05},
			{3, "spruce, Norway", "speed", 0.125},
			{6, "walnut, black", "shine", 0.05},
		},
	},
}
