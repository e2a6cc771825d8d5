package configfile

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// Fault words an error of the parser for whoever wrote the file: it has the line, and for
// a value of the wrong kind the field, what it must be and what was given.
func Fault(err error) error {
	var wrong *yaml.TypeError
	var shape *yaml.UnexpectedNodeTypeError
	var at yaml.Error
	switch {
	case errors.As(err, &wrong) && wrong.Token != nil:
		return fmt.Errorf("line %d: %smust be %s; %q was given", wrong.Token.Position.Line, field(wrong.Token), kind(wrong.DstType), wrong.Token.Value)
	case errors.As(err, &shape) && shape.Token != nil:
		return fmt.Errorf("line %d: %smust be %s", shape.Token.Position.Line, field(shape.Token), cmp.Or(shapes[shape.Expected], "of another kind"))
	case errors.As(err, &at) && at.GetToken() != nil:
		return fmt.Errorf("line %d: %s", at.GetToken().Position.Line, plain(at.GetMessage()))
	}
	return err
}

// plainWords are what the parser says of the slips that are made most often, and the
// same for somebody who does not know its terms.
var plainWords = map[string]string{
	"found character '\t' that cannot start any token":                   "it begins with a tab: indent with spaces",
	"tab character cannot use as a map key directly":                     "there is a tab before it: indent with spaces",
	"tab character cannot use as a sequence delimiter":                   "there is a tab after the dash: put a space",
	"non-map value is specified":                                         "there is no field here: a colon and a space stand between a field and its value",
	"mapping value is not allowed in this context":                       "there is one colon too many, or the line is indented further than the one before: put a text that has a colon in quotes, and begin the fields of one entry in the same column",
	"value is not allowed in this context":                               "it is not in line with the lines before: begin the fields of one entry in the same column",
	"value is not allowed in this context. map key-value is pre-defined": "it is not in line with the lines before: begin the fields of one entry in the same column",
	"could not find end character of double-quoted text":                 "a quotation mark is not closed",
	"could not find end character of single-quoted text":                 "a quotation mark is not closed",
}

// plain words a message of the parser plainly, if it is one that is known.
func plain(message string) string { return cmp.Or(plainWords[message], message) }

// shapes are what the parser may expect and not find.
var shapes = map[ast.NodeType]string{ast.MappingType: "fields with their values", ast.SequenceType: "a list"}

// field is the name before a value and a space, or nothing if none stands there.
func field(value *token.Token) string {
	if colon := value.Prev; colon != nil && colon.Type == token.MappingValueType && colon.Prev != nil {
		return colon.Prev.Value + " "
	}
	return ""
}

// kind says what a value of a type looks like in a file.
func kind(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Pointer:
		return kind(t.Elem())
	case reflect.Int, reflect.Int64:
		return "a whole number"
	case reflect.Float64:
		return "a number"
	case reflect.Bool:
		return "true or false"
	case reflect.Slice:
		return "a list"
	case reflect.Struct:
		return "fields with their values"
	default:
		return "a text"
	}
}

// Line is where a field, such as saws[0].lead or [2].name, stands in a file; if it is
// missing, where the nearest thing around it stands.
func Line(tree *ast.File, field string) int {
	for field != "" {
		path, err := yaml.PathString(strings.Replace("$."+field, ".[", "[", 1))
		if err != nil {
			break
		}
		if node, err := path.FilterFile(tree); err == nil && node != nil && !reflect.ValueOf(node).IsNil() {
			return node.GetToken().Position.Line
		}
		field = field[:max(strings.LastIndexAny(field, ".["), 0)]
	}
	return 1
}
