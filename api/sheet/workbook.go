package sheet

import (
	"bytes"
	"image"
	"image/color"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
)

// TypeXLSX is the media type of workbooks.
const TypeXLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// look is the style of a cell.
type look int

const (
	lookWords look = iota
	lookTitle
	lookHead  // of words
	lookAbove // the head of a column of numbers
	lookLength
	lookFine
	lookWhole
	lookNumber
	lookMoney
	lookPercent
	lookQuotient
	lookTime
	lookPlain
	lookLine // a sentence, on as many lines as it needs
	lookCount
)

// looksOf are the styles of a workbook. Lengths have the decimals of a sheet.
func looksOf(unit length.Length) [lookCount]excelize.Style {
	lengths := "0." + strings.Repeat("0", rule.Decimals(unit))
	finer := lengths + "0"
	under := []excelize.Border{{Type: "bottom", Color: "BFBFBF", Style: 1}}
	font := func(size float64) *excelize.Font {
		return &excelize.Font{Family: "Calibri", Size: size, Bold: true}
	}
	head := func(a excelize.Alignment) excelize.Style {
		a.WrapText, a.Vertical = true, "bottom"
		return excelize.Style{Font: font(11), Border: []excelize.Border{{Type: "bottom", Color: "000000", Style: 2}}, Alignment: &a}
	}
	left := excelize.Alignment{Horizontal: "left", Indent: 1}
	return [lookCount]excelize.Style{
		lookWords:    {Border: under, Alignment: &left},
		lookTitle:    {Font: font(14)},
		lookHead:     head(left),
		lookAbove:    head(excelize.Alignment{Horizontal: "right"}),
		lookLength:   {Border: under, CustomNumFmt: &lengths},
		lookFine:     {Border: under, CustomNumFmt: &finer},
		lookWhole:    {Border: under, CustomNumFmt: new("0")},
		lookNumber:   {Border: under},
		lookMoney:    {Border: under, CustomNumFmt: new("#,##0.00##")},
		lookPercent:  {Border: under, CustomNumFmt: new("0.0%")},
		lookQuotient: {Border: under, CustomNumFmt: new("0.00")},
		lookTime:     {Border: under, CustomNumFmt: new("[h]:mm:ss")},
		lookLine:     {Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}},
	}
}

// workbook writes an answer as a workbook of several sheets. It keeps the first error
// and goes on. Nothing in it depends on the time: the same answer gives the same bytes.
type workbook struct {
	file   *excelize.File
	unit   length.Length
	looks  [lookCount]int
	footer string
	sheet  string
	err    error
}

// making lets one workbook be made at a time: the largest takes 50 MB.
var making sync.Mutex

// writeWorkbook makes a workbook, whose footer has its title and ID.
func writeWorkbook(title, id string, unit length.Length, fill func(*workbook)) ([]byte, error) {
	making.Lock()
	defer making.Unlock()
	plain := strings.ReplaceAll(printable(title), "&", "&&")
	w := &workbook{file: excelize.NewFile(), unit: unit, footer: "&L" + plain + "&C" + id + "&RPage &P of &N"}
	for i, style := range looksOf(unit) {
		id, err := w.file.NewStyle(&style)
		w.keep(err)
		w.looks[i] = id
	}
	w.keep(w.file.SetDocProps(&excelize.DocProperties{Title: printable(title), Creator: "resawd"}))
	fill(w)
	if w.err != nil {
		return nil, w.err
	}
	w.sortTypes()
	var out bytes.Buffer
	_, err := w.file.WriteTo(&out)
	return out.Bytes(), err
}

// sortTypes sorts the types of pictures, which the library lists in random order, and
// corrects the one that it has wrong.
func (w *workbook) sortTypes() {
	types := w.file.ContentTypes.Defaults
	sort.Slice(types, func(i, j int) bool { return types[i].Extension < types[j].Extension })
	for i := range types {
		if types[i].Extension == "svg" {
			types[i].ContentType = TypeSVG
		}
	}
}

func (w *workbook) keep(err error) {
	if w.err == nil {
		w.err = err
	}
}

// The paper sizes, by their numbers in the standard (ECMA-376 part 1, section
// 18.3.1.63).
const (
	paperLetter = 1
	paperA4     = 9
)

// add begins a sheet. It is printed across the paper that is usual where the unit is.
func (w *workbook) add(name string) {
	if w.sheet == "" {
		w.keep(w.file.SetSheetName("Sheet1", name))
	} else {
		_, err := w.file.NewSheet(name)
		w.keep(err)
	}
	w.sheet = name
	paper := paperLetter
	if w.unit == length.Millimetre {
		paper = paperA4
	}
	w.keep(w.file.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: new(true)}))
	w.keep(w.file.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &paper, Orientation: new("landscape"), FitToWidth: new(1), FitToHeight: new(0)}))
	w.keep(w.file.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: w.footer}))
}

// put writes a value into a cell.
func (w *workbook) put(column, row int, as look, value any) {
	cell, err := excelize.CoordinatesToCellName(column, row)
	w.keep(err)
	w.keep(w.file.SetCellStyle(w.sheet, cell, cell, w.looks[as]))
	w.keep(w.file.SetCellValue(w.sheet, cell, w.shown(value)))
}

// shown is what a cell holds for a value: the number that the JSON has, or harmless
// words.
func (w *workbook) shown(value any) any {
	switch v := value.(type) {
	case nil, int:
		return v
	case bool:
		return map[bool]string{true: "yes", false: "no"}[v]
	case string:
		return endpoint.Harmless(printable(v))
	case fine:
		value = length.Length(v)
	}
	number, err := strconv.ParseFloat(string(endpoint.JSONOf(value, w.unit)), 64)
	w.keep(err)
	return number
}

// lookOf is the style for a value.
func lookOf(value any) look {
	switch value.(type) {
	case length.Length:
		return lookLength
	case fine:
		return lookFine
	case endpoint.Money:
		return lookMoney
	case int, endpoint.BladeSpeed:
		return lookWhole
	case float64, endpoint.Feed, endpoint.Bite, endpoint.Area:
		return lookNumber
	}
	return lookWords
}

// lines writes sentences under a head, each across several columns, and returns the row
// after them.
func (w *workbook) lines(row, columns int, head string, sentences []string) int {
	if len(sentences) == 0 {
		return row
	}
	w.put(1, row, lookTitle, head)
	width := 0.0
	for c := 1; c <= columns; c++ {
		name, err := excelize.ColumnNumberToName(c)
		w.keep(err)
		one, err := w.file.GetColWidth(w.sheet, name)
		w.keep(err)
		width += one
	}
	for i, s := range sentences {
		at := row + 1 + i
		w.put(1, at, lookLine, s)
		first, err := excelize.CoordinatesToCellName(1, at)
		w.keep(err)
		last, err := excelize.CoordinatesToCellName(columns, at)
		w.keep(err)
		w.keep(w.file.MergeCell(w.sheet, first, last))
		w.keep(w.file.SetRowHeight(w.sheet, at, rowHeight*math.Ceil(float64(utf8.RuneCountInString(s))*letterShare/width)))
	}
	return row + len(sentences) + 2
}

// numbered are steps with their numbers, by which steps refer to each other.
func numbered(steps []string) []string {
	list := make([]string, len(steps))
	for i, step := range steps {
		list[i] = strconv.Itoa(i+1) + ". " + step
	}
	return list
}

// What programs take for the height of a row, in points, and for the width of a letter
// in running text, as a share of a digit's.
const (
	rowHeight   = 15.0
	letterShare = 0.95
)

// halo clears the lines behind a drawing's words. Programs that do not know paint-order
// would paint it over the words.
const halo = ` paint-order="stroke" stroke="#fff" stroke-width="4"`

// picture shows a drawing in a cell.
func (w *workbook) picture(column, row int, svg []byte, about string) {
	svg = bytes.ReplaceAll(svg, []byte(halo), nil)
	cell, err := excelize.CoordinatesToCellName(column, row)
	w.keep(err)
	w.keep(w.file.AddPictureFromBytes(w.sheet, cell, &excelize.Picture{
		Extension: ".svg", File: svg, Format: &excelize.GraphicOptions{AltText: about, LockAspectRatio: true},
	}))
}

// The library asks package image for the size of a picture; that of ours is known.
var _ = func() bool {
	image.RegisterFormat("svg", "<svg", nil, func(io.Reader) (image.Config, error) {
		return image.Config{ColorModel: color.GrayModel, Width: 620, Height: 264}, nil
	})
	return true
}()
