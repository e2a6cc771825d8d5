package shop

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"unicode/utf8"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"
)

// The largest file that is read, and how deep its values may nest: the parser
// takes time that grows with the square of the depth.
const (
	maxSize  = 256 << 10
	maxDepth = 10
	maxStart = 100 // the column beyond which no list entry begins
)

// Read reads the shop file at a path.
func Read(path string) (*Shop, error) {
	s, err := read(path)
	if err != nil {
		return nil, fmt.Errorf("shop file %s:\n%w", path, err)
	}
	return s, nil
}

func read(path string) (*Shop, error) {
	// What is no regular file is not opened: a pipe may never have a writer.
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, pathless(err)
	case info.IsDir():
		return nil, errors.New("it is a folder; name a file in it")
	case !info.Mode().IsRegular():
		return nil, errors.New("it is a device or a pipe; a shop file is a regular file")
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, pathless(err)
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, maxSize+1))
	if err != nil {
		return nil, pathless(err)
	}
	return Parse(text)
}

// pathless is an error without the path, which is told already.
func pathless(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

var errEmpty = errors.New("it is empty; begin with a copy of the demo shop's file")

// checkText refuses what no parser needs to see.
func checkText(file []byte) error {
	switch {
	case len(file) > maxSize:
		return fmt.Errorf("it is longer than %d bytes, the most that a shop file may have", maxSize)
	case len(bytes.TrimSpace(file)) == 0:
		return errEmpty
	case !utf8.Valid(file) || bytes.IndexByte(file, 0) >= 0:
		return errors.New("it is not text in UTF-8")
	}
	depth := 0
	for _, t := range lexer.Tokenize(string(file)) {
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth--
		case token.SequenceEntryType, token.MappingKeyType:
			if t.Position.Column > maxStart {
				return fmt.Errorf("line %d: a list entry begins in column %d; the last column for that is %d", t.Position.Line, t.Position.Column, maxStart)
			}
		case token.AnchorType, token.AliasType:
			return fmt.Errorf("line %d: anchors (&) and aliases (*) are not read; write each value out, or put it in quotes", t.Position.Line)
		default: // neither nests
		}
		if depth > maxDepth {
			return fmt.Errorf("line %d: brackets are nested more than %d deep", t.Position.Line, maxDepth)
		}
	}
	return nil
}
