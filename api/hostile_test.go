package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"unicode"

	"resawd/api"
	"resawd/api/apitest"
)

// TestEveryScript writes lengths with a letter of every script as the unit, and with
// every digit other than 0 to 9: each is refused by name.
func TestEveryScript(t *testing.T) {
	server := apitest.Server(t)
	texts := []string{"1 \u0131n", "1 \u0130N", "1\uff02", "1\u20442", "\u2153", "1\u00a0in\u200b", "\u202e1in"}
	for _, script := range unicode.Scripts {
		if first := firstOf(script); !unicode.IsSpace(first) {
			texts = append(texts, "1 "+string(first))
		}
	}
	for digit := rune(0x80); digit <= unicode.MaxRune; digit++ {
		if unicode.Is(unicode.Nd, digit) {
			texts = append(texts, "0.0"+string(digit))
		}
	}
	if len(texts) < 700 {
		t.Errorf("only %d lengths", len(texts))
	}
	for _, speed := range []string{"10 ft/m\u0130n", "10 in/\u1d0d\u026an", "\u0661\u0660 in/min"} {
		if answer := get(server, "/v1/feed?cut_length=36&feed="+url.QueryEscape(speed)); answer.Code != http.StatusBadRequest {
			t.Errorf("%q: status %d %s", speed, answer.Code, answer.Body)
		}
	}
	for _, text := range texts {
		for _, answer := range []*httptest.ResponseRecorder{
			get(server, "/v1/dial?kerf=0.045&leaf_thickness="+url.QueryEscape(text)),
			post(server, "/v1/dial", `{"kerf": 0.045, "leaf_thickness": `+quoted(text)+`}`),
		} {
			if answer.Code != http.StatusBadRequest || !strings.Contains(answer.Body.String(), `"code":"not_a_length"`) {
				t.Errorf("%q: status %d %s", text, answer.Code, answer.Body)
			}
		}
	}
}

// firstOf gives the first character of a table.
func firstOf(table *unicode.RangeTable) rune {
	if len(table.R16) > 0 {
		return rune(table.R16[0].Lo)
	}
	return rune(table.R32[0].Lo)
}

func quoted(text string) string {
	b, _ := json.Marshal(text)
	return string(b)
}

// TestNothingEchoedIsBelieved puts a header, a tag and an attribute into everything
// that an answer repeats, in every form: none becomes a header or an element.
func TestNothingEchoedIsBelieved(t *testing.T) {
	const evil = "a\"'\r\nSet-Cookie: a=b\r\n\r\n<script>x</script><b onload=x>"
	server := apitest.Server(t, func(c *api.Config) { c.Origins = []string{"https://shop.example"} })
	named := strings.NewReplacer("NAME", quoted(evil[:49]))
	bodies := map[string]string{
		"/v1/run":  named.Replace(`{"board": {"name": NAME, "species": NAME, "thickness": 2, "width": 6, "length": 20}, "leaves": [{"name": NAME, "thickness": 0.05}]}`),
		"/v1/plan": named.Replace(`{"work_limit": 1000, "boards": [{"name": NAME, "species": NAME, "thickness": 1, "width": 6, "length": 20}], "parts": [{"name": NAME, "species": NAME, "thickness": 0.05, "width": 3, "length": 10, "quantity": 2}]}`),
	}
	for _, k := range api.Calculators() {
		for _, format := range append(k.Formats(), evil) {
			for _, body := range []string{"{" + quoted(evil) + ": 1}", `{"units": ` + quoted(evil) + `}`, evil, bodies[k.Path]} {
				believed(t, server, http.MethodPost, k.Path+"?pick=id&format="+url.QueryEscape(format), body, evil)
			}
			believed(t, server, http.MethodGet, k.Path+"?errors=cell&units="+url.QueryEscape(evil)+"&format="+url.QueryEscape(format), "", evil)
			believed(t, server, http.MethodGet, k.Path+"?"+url.QueryEscape(evil)+"=1&pick="+url.QueryEscape(evil)+"&format="+url.QueryEscape(format), "", evil)
		}
	}
	believed(t, server, http.MethodGet, "/"+url.PathEscape(evil), "", evil)
	believed(t, server, http.MethodGet, "/problems/"+url.PathEscape(evil), "", evil)
}

// sent are the headers that an answer may have.
var sent = []string{
	"Access-Control-Allow-Origin", "Access-Control-Expose-Headers", "Allow", "Cache-Control", "Content-Disposition", "Content-Security-Policy",
	"Content-Type", "Etag", "Referrer-Policy", "Retry-After", "Vary", "X-Content-Type-Options", "X-Frame-Options", "X-Request-Id", "Accept-Ranges", "Content-Length",
}

func believed(t *testing.T, server http.Handler, method, target, body, evil string) {
	t.Helper()
	request := httptest.NewRequest(method, target, strings.NewReader(body))
	for name, value := range map[string]string{"Content-Type": "application/json", "X-Request-Id": evil, "Origin": evil, "If-None-Match": evil, "Accept-Language": evil} {
		request.Header.Set(name, value)
	}
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, request)
	for name, values := range answer.Header() {
		if all := fmt.Sprint(values); !slices.Contains(sent, name) || strings.ContainsAny(all, "\r\n<") {
			t.Errorf("%s %s: header %s: %q", method, target, name, all)
		}
	}
	media := answer.Header().Get("Content-Type")
	if text := answer.Body.String(); (strings.Contains(media, "html") || strings.Contains(media, "svg")) && (strings.Contains(text, "<script>x") || strings.Contains(text, "<b onload")) {
		t.Errorf("%s %s: %s has it as it came", method, target, media)
	}
	if answer.Code >= 500 {
		t.Errorf("%s %s: status %d", method, target, answer.Code)
	}
}
