package sheet

import "github.com/xuri/excelize/v2"

// fact is a figure on a sheet of a workbook.
type fact struct {
	name  string
	value any
	unit  string
}

// elapsed is a time in seconds, shown as hours, minutes and seconds.
type elapsed float64

// share is a fraction, shown in percent.
type share float64

// quotient is a plain number, shown with two decimals.
type quotient float64

const secondsPerDay = 24 * 60 * 60 // spreadsheets count time in days

// facts writes figures from a row on, and returns the row after them.
func (w *workbook) facts(row int, list []fact) int {
	for i, f := range list {
		as, value := lookOf(f.value), f.value
		switch v := value.(type) {
		case elapsed:
			as, value = lookTime, float64(v)/secondsPerDay
		case share:
			as, value = lookPercent, float64(v)
		case quotient:
			as, value = lookQuotient, float64(v)
		}
		w.put(1, row+i, lookWords, f.name)
		w.put(2, row+i, as, value)
		w.put(3, row+i, lookWords, f.unit)
	}
	return row + len(list) + 1
}

func (w *workbook) width(column int, width float64) {
	name, err := excelize.ColumnNumberToName(column)
	w.keep(err)
	w.keep(w.file.SetColWidth(w.sheet, name, name, width))
}
