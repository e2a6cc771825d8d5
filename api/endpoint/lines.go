package endpoint

import (
	"bufio"
	"bytes"
	"errors"
	"io"
)

// maxLine is the length of the longest record, without its line ending.
const maxLine = 64 << 10

// What can be wrong with a record.
var (
	errLineTooLong = errors.New("the row is longer than 65536 bytes")
	errOpenQuote   = errors.New("a quoted cell does not end on its line")
	errAfterQuote  = errors.New("something follows the closing quote of a cell")
)

// lines reads comma-separated values. A record is always one line, so that an open
// quote spoils no other.
type lines struct {
	in        *bufio.Reader
	separator byte
	cells     [][]byte // of the last record, valid until the next is read
	row       int      // of the last record, counted from 1 as editors and spreadsheets do
}

func newLines(in io.Reader) *lines {
	l := &lines{in: bufio.NewReaderSize(in, maxLine+len("\r\n"))}
	if mark, err := l.in.Peek(3); err == nil && string(mark) == "\uFEFF" {
		_, _ = l.in.Discard(len(mark)) // cannot fail: the bytes have been peeked at
	}
	return l
}

// next returns the next line that is not blank, and io.EOF after the last. It skips a
// line that is too long to its end.
func (l *lines) next() ([]byte, error) {
	for {
		line, err := l.in.ReadSlice('\n')
		l.row++
		for long := err; errors.Is(long, bufio.ErrBufferFull); {
			if _, long = l.in.ReadSlice('\n'); long != nil && !errors.Is(long, bufio.ErrBufferFull) && !errors.Is(long, io.EOF) {
				return nil, long
			}
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			return nil, errLineTooLong
		case err != nil && (!errors.Is(err, io.EOF) || len(line) == 0):
			return nil, err
		}
		line = bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("\r"))
		if len(line) > maxLine {
			return nil, errLineTooLong
		}
		if len(bytes.TrimSpace(line)) > 0 {
			return line, nil
		}
	}
}

// header returns the cells of the first line. It also finds the separator: no field's
// name has a comma or a semicolon.
func (l *lines) header() ([][]byte, error) {
	line, err := l.next()
	if err != nil {
		return nil, err
	}
	l.separator = ','
	if bytes.IndexByte(line, ';') >= 0 {
		l.separator = ';'
	}
	if err := l.split(line); err != nil {
		return nil, err
	}
	return l.cells, nil
}

// split splits a line into cells, which are parts of it.
func (l *lines) split(line []byte) error {
	l.cells = l.cells[:0]
	for {
		cell, rest, more, err := l.cell(line)
		if err != nil {
			return err
		}
		l.cells = append(l.cells, cell)
		if !more {
			return nil
		}
		line = rest
	}
}

// cell takes the first cell off a line. A quote inside an unquoted cell stands for
// itself: 1/2" is half an inch.
func (l *lines) cell(line []byte) (cell, rest []byte, more bool, err error) {
	if len(line) > 0 && line[0] == '"' {
		return l.quoted(line[1:])
	}
	cell, rest, more = bytes.Cut(line, []byte{l.separator})
	return cell, rest, more, nil
}

// quoted takes the rest of a quoted cell, in which two quotes stand for one.
func (l *lines) quoted(line []byte) (cell, rest []byte, more bool, err error) {
	cell = line[:0] // written over what has been read
	for {
		i := bytes.IndexByte(line, '"')
		if i < 0 {
			return nil, nil, false, errOpenQuote
		}
		cell = append(cell, line[:i]...)
		line = line[i+1:]
		switch {
		case len(line) == 0:
			return cell, nil, false, nil
		case line[0] == l.separator:
			return cell, line[1:], true, nil
		case line[0] != '"':
			return nil, nil, false, errAfterQuote
		}
		cell = append(cell, '"')
		line = line[1:]
	}
}
