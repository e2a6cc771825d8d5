package form

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"slices"
	"strings"
)

var (
	//go:embed form.html
	pageText string
	//go:embed form.css
	style string
	//go:embed request.js
	requestScript string
	//go:embed answer.js
	answerScript string
	//go:embed form.js
	formScript string
)

// Script is the script of every form.
var Script = []byte(requestScript + "\n" + answerScript + "\n" + formScript)

var pages = template.Must(template.New("form.html").Funcs(template.FuncMap{
	"style": func() template.CSS { return template.CSS(style) }, //nolint:gosec // our own file
}).Parse(pageText))

// Policy is the Content-Security-Policy of the forms: they run their own script, have
// their own style and the other styles given, which the pages that they open have, and
// send requests to this service only.
func Policy(others ...string) string {
	sum := sha256.Sum256([]byte(style))
	styles := strings.Join(append([]string{"'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"}, others...), " ")
	return "default-src 'none'; script-src 'self'; connect-src 'self'; style-src " + styles +
		"; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
}

// Names are the names that are known, by field: of the shop, of woods and of symptoms.
type Names map[string][]string

// Link is a link at the foot of a form.
type Link struct{ Path, Text string }

// Page renders a form, with links to all others.
func Page(f *Form, all []Form, names Names, links []Link) ([]byte, error) {
	var out bytes.Buffer
	err := pages.Execute(&out, struct {
		Form
		All     []Form
		Species []string
		Links   []Link
	}{f.with(names), all, names["species"], links})
	return out.Bytes(), err
}

// with offers known names as the only choices. A wood may have any name.
func (f Form) with(names Names) Form {
	offer := func(fields []Field) []Field {
		fields = slices.Clone(fields)
		for i := range fields {
			if list := fields[i].List; list != "species" && len(names[list]) > 0 {
				fields[i].Options, fields[i].Default = names[list], "the shop's usual"
				switch {
				case f.Name == "plan" && list == "saw":
					fields[i].Default = "any: billets of every size" // its limits hold only if it is named
				case list == "symptom":
					fields[i].Default = "none"
				}
			}
		}
		return fields
	}
	f.First, f.More = offer(f.First), offer(f.More)
	return f
}
