// Package configfile reads the YAML files of whoever runs the service. It accepts
// regular files of a size and a depth that the parser can bear.
package configfile

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"unicode/utf8"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"
)

// The size of the largest file that is read, and how deep its values may nest. The
// parser's time grows with the square of the depth.
const (
	maxSize  = 256 << 10
	maxDepth = 10
	maxStart = 100 // the column beyond which no list entry begins
)

// Read reads a file, to be passed to [Parse].
func Read(path string) ([]byte, error) {
	// Only a regular file is opened: opening a pipe could wait for ever.
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, pathless(err)
	case info.IsDir():
		return nil, errors.New("it is a folder; name a file in it")
	case !info.Mode().IsRegular():
		return nil, errors.New("it is a device or a pipe, not a regular file")
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
	return text, nil
}

// pathless takes the path out of an error, for messages that name it already.
func pathless(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// ErrEmpty is the error of a file that holds nothing.
var ErrEmpty = errors.New("it is empty")

// Parse passes a file's text to read. If that panics, the parser has met text that it
// cannot bear, and the file is refused: one that is read again while the service runs
// must not end it.
func Parse[T any](file []byte, read func(text []byte) (*T, error)) (made *T, err error) {
	defer func() {
		if recover() != nil {
			made, err = nil, errors.New("it is not YAML that can be read")
		}
	}()
	text, err := textOf(file)
	if err != nil {
		return nil, err
	}
	return read(text)
}

// textOf returns the text of a file without its byte-order mark, and refuses what no
// parser needs to see.
func textOf(file []byte) ([]byte, error) {
	file = bytes.TrimPrefix(file, []byte("\uFEFF"))
	switch {
	case len(file) > maxSize:
		return nil, fmt.Errorf("it is longer than the limit of %d bytes", maxSize)
	case len(bytes.TrimSpace(file)) == 0:
		return nil, ErrEmpty
	case !utf8.Valid(file) || bytes.IndexByte(file, 0) >= 0:
		return nil, errors.New("it is not text in UTF-8")
	}
	tokens := lexer.Tokenize(string(file))
	return file, cmp.Or(checkDepth(tokens), checkOne(tokens))
}

// checkOne refuses a second document, which the parser would leave unread.
func checkOne(tokens token.Tokens) error {
	begun, ended := false, false
	for _, t := range tokens {
		switch t.Type {
		case token.CommentType, token.DirectiveType:
		case token.DocumentHeaderType, token.DocumentEndType:
			ended = begun
		default:
			if ended {
				return fmt.Errorf("line %d: a second document begins here, after --- or ...; the file may hold one", t.Position.Line)
			}
			begun = true
		}
	}
	return nil
}

// checkDepth refuses values that are nested too deep, and with them all aliases, a few
// of which can stand for millions of values, and all tags, which no field needs.
func checkDepth(tokens token.Tokens) error {
	depth := 0
	for _, t := range tokens {
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
		case token.TagType:
			return fmt.Errorf("line %d: tags (!) are not read; leave it out, or put the value in quotes", t.Position.Line)
		default: // the others do not nest
		}
		if depth > maxDepth {
			return fmt.Errorf("line %d: brackets are nested more than %d deep", t.Position.Line, maxDepth)
		}
	}
	return nil
}
