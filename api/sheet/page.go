// Package sheet makes what people read on paper and on screens: run sheets, plans and
// measured leaves as pages to print, as drawings and as workbooks. It has the templates
// of all pages, and puts the answers of package calculator into words and pictures.
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

//go:embed page.css page.html run.html run.svg plan.html plan.svg problem.html fault.html gauge.html gauge.svg
var pageFiles embed.FS

var pages = template.Must(template.New("").Funcs(template.FuncMap{"style": func() template.CSS { return pageStyle }}).ParseFS(pageFiles, "*.html", "*.svg"))

// pageStyle is the style sheet of every page. It is part of the page itself, so that a
// page saved to a file stays complete.
var pageStyle = func() template.CSS {
	text, err := pageFiles.ReadFile("page.css")
	if err != nil {
		panic(err) // it is embedded
	}
	return template.CSS(text) //nolint:gosec // our own file
}()

// StyleSource is the source in a Content-Security-Policy that allows the style of the
// pages.
var StyleSource = func() string {
	sum := sha256.Sum256([]byte(pageStyle))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}()

// Policy is the Content-Security-Policy of pages and drawings that have none of their
// own: no script, nothing from elsewhere, no style but ours.
var Policy = func() []string {
	return []string{"default-src 'none'; style-src " + StyleSource + "; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"}
}()

// Page fills in a template.
func Page(name string, data any) ([]byte, error) {
	var out bytes.Buffer
	err := pages.ExecuteTemplate(&out, name, data)
	return out.Bytes(), err
}

// printable replaces what neither XML nor paper can hold: bytes that are not UTF-8,
// control characters, and the two code points that are not characters.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\uFFFE' || r == '\uFFFF' {
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(text, string(utf8.RuneError)))
}
