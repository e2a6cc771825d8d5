package main

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// style names how a cell looks.
type style int

const (
	plain style = iota
	title
	heading // of words
	above   // of a column of figures
	field   // the service's name of a column
	input   // a cell to write in
	number  // an answer
	lengthOut
	turns
	tooth
	percent
	words
	told // a sentence
	note
	styleCount
)

var (
	thin  = []excelize.Border{{Type: "bottom", Color: "BFBFBF", Style: 1}}
	right = &excelize.Alignment{Horizontal: "right", WrapText: true}
	left  = &excelize.Alignment{Horizontal: "left", Indent: 1}
	grey  = &excelize.Font{Family: typeface, Color: "7F7F7F", Size: 9}
	bold  = &excelize.Font{Family: typeface, Bold: true, Size: 11}

	looks = [styleCount]excelize.Style{
		title:     {Font: &excelize.Font{Family: typeface, Bold: true, Size: 14}},
		heading:   {Font: bold, Alignment: left},
		above:     {Font: bold, Alignment: right},
		field:     {Font: grey, Alignment: &excelize.Alignment{Horizontal: "right"}, Border: thin},
		input:     {Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFF8DC"}}, Alignment: right, Border: thin},
		number:    {NumFmt: 0, Border: thin},
		lengthOut: {CustomNumFmt: new("0.000"), Border: thin},
		turns:     {CustomNumFmt: new("0.00##"), Border: thin},
		tooth:     {CustomNumFmt: new("0.00000000"), Border: thin},
		percent:   {NumFmt: 9, Border: thin},
		words:     {Alignment: right, Border: thin},
		told:      {Alignment: left, Border: thin},
		note:      {Font: grey, Alignment: left},
	}
)

// typeface is the one that workbooks have where none is named.
const typeface = "Calibri"

// book writes a workbook. It keeps the first error and goes on.
type book struct {
	file   *excelize.File
	sheet  string
	styles [styleCount]int
	err    error
}

func newBook() (*book, error) {
	b := &book{file: excelize.NewFile()}
	for i := range looks {
		var err error
		if b.styles[i], err = b.file.NewStyle(&looks[i]); err != nil {
			return nil, err
		}
	}
	b.keep(b.file.SetDocProps(&excelize.DocProperties{Title: "resawd: a workbook of examples", Creator: "resawd"}))
	b.keep(b.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: new(true)}))
	return b, b.err
}

func (b *book) keep(err error) {
	if b.err == nil {
		b.err = err
	}
}

// add begins a sheet, printed on one page's width with its name and page below.
func (b *book) add(name, about string) {
	if b.sheet == "" {
		b.keep(b.file.SetSheetName("Sheet1", name))
	} else {
		_, err := b.file.NewSheet(name)
		b.keep(err)
	}
	b.sheet = name
	b.keep(b.file.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: new(true)}))
	b.keep(b.file.SetPageLayout(name, &excelize.PageLayoutOptions{Orientation: new("landscape"), FitToWidth: new(1), FitToHeight: new(0)}))
	b.keep(b.file.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: "&L&A&RPage &P of &N"}))
	b.put(1, 1, title, name)
	b.put(1, 2, plain, about)
}

// printed ends what is printed of a sheet, a column and a row.
func (b *book) printed(column, row int) {
	area := &excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: b.sheet, RefersTo: fmt.Sprintf("'%s'!%s:%s", b.sheet, fixed(1, 1), fixed(column, row))}
	b.keep(b.file.SetDefinedName(area))
}

// fixed names a cell that formulas do not move.
func fixed(column, row int) string {
	name, err := excelize.CoordinatesToCellName(column, row, true)
	if err != nil {
		panic(err) // both are constants of this program
	}
	return name
}

func at(column, row int) string {
	name, err := excelize.CoordinatesToCellName(column, row)
	if err != nil {
		panic(err) // both are constants of this program
	}
	return name
}

// put writes a value, or a formula, which begins with =.
func (b *book) put(column, row int, s style, value any) {
	cell := at(column, row)
	b.keep(b.file.SetCellStyle(b.sheet, cell, cell, b.styles[s]))
	if text, ok := value.(string); ok && strings.HasPrefix(text, "=") {
		b.keep(b.file.SetCellFormula(b.sheet, cell, text[1:]))
		return
	}
	b.keep(b.file.SetCellValue(b.sheet, cell, value))
}

func (b *book) name(name, cell string) {
	b.keep(b.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: "Start!" + cell}))
}

func (b *book) width(column int, width float64) {
	name, err := excelize.ColumnNumberToName(column)
	b.keep(err)
	b.keep(b.file.SetColWidth(b.sheet, name, name, width))
}

// freeze keeps the rows above one in sight.
func (b *book) freeze(row int) {
	b.keep(b.file.SetPanes(b.sheet, &excelize.Panes{Freeze: true, YSplit: row - 1, TopLeftCell: at(1, row), ActivePane: "bottomLeft"}))
}

// ask is the formula of a value of an answer as the service gives it; request
// is the cell of the request, place the cell or the text of where it stands.
func ask(request, place string) string {
	return fmt.Sprintf(`_xlfn.WEBSERVICE(%s&"&pick="&%s)`, request, place)
}

// asNumber shows an answer as a number, or nothing if there is none.
func asNumber(answer string) string { return `=IFERROR(VALUE(` + answer + `),"")` }

// asWords shows an answer as it is, or nothing if it is an error.
func asWords(answer string) string {
	return `=IFERROR(IF(LEFT(` + answer + `,6)="error:","",` + answer + `),"")`
}

// asFault shows what is wrong with a request, or nothing if it is right.
func asFault(answer string) string {
	return `=IFERROR(IF(LEFT(` + answer + `,6)="error:",` + answer + `,""),"no answer: is the service running, and may this document update its links?")`
}
