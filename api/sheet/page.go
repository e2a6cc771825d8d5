// Package sheet is what people read on paper and on a screen: the run sheet and
// the plan as pages to print, and their drawings, with the templates of all
// pages. It puts answers of package calculator into words and pictures.
package sheet

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"html/template"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The media types of what a browser shows.
const (
	TypeHTML = "text/html; charset=utf-8"
	TypeSVG  = "image/svg+xml"
)

//go:embed page.css page.html run.html run.svg plan.html plan.svg problem.html gauge.html gauge.svg
var pageFiles embed.FS

var pages = template.Must(template.New("").Funcs(template.FuncMap{"style": func() template.CSS { return pageStyle }}).ParseFS(pageFiles, "*.html", "*.svg"))

// pageStyle is the style sheet of every page. It stands in the page itself, so
// that a page saved to a file stays whole.
var pageStyle = func() template.CSS {
	text, err := pageFiles.ReadFile("page.css")
	if err != nil {
		panic(err) // it is embedded
	}
	return template.CSS(text) //nolint:gosec // our own file
}()

// StyleSource allows the style of the pages in a Content-Security-Policy.
var StyleSource = func() string {
	sum := sha256.Sum256([]byte(pageStyle))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}()

// Policy is the Content-Security-Policy of pages and drawings that have
// none of their own: no script,
// nothing from elsewhere, no style but our own.
var Policy = func() []string {
	return []string{"default-src 'none'; style-src " + StyleSource + "; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"}
}()

// Page fills in the template of that name.
func Page(name string, data any) ([]byte, error) {
	var out bytes.Buffer
	err := pages.ExecuteTemplate(&out, name, data)
	return out.Bytes(), err
}

// printable replaces what neither XML nor paper can hold: bytes that are no
// UTF-8, control characters and the two code points that are no characters.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\uFFFE' || r == '\uFFFF' {
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(text, string(utf8.RuneError)))
}
