package api_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"reflect"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/api/endpoint"
	"resawd/calc/length"
)

// generator makes requests of the types that the calculators read: mostly such
// as a shop would ask, with values at and beyond the limits between them.
type generator struct {
	*rand.Rand
	wild bool // this request may have values that no shop has
	flat bool // and this one none of width and length: an order by thickness alone
}

// lengths that a shop asks for, by what a field's name says; any other is a
// fraction of an inch.
var shopLengths = map[string][2]float64{
	"board_thickness": {0.5, 4}, "thickness": {0.05, 3}, "leaf_thickness": {0.02, 0.3}, "width": {1, 9}, "length": {8, 60},
	"cut_length": {8, 60}, "stock_height": {1, 9}, "travel": {1, 6}, "lead": {0.05, 0.25}, "wheel_diameter": {10, 20}, "kerf": {0.02, 0.07},
}

// shopWords are the names that fields of text take.
var shopWords = map[string][]string{
	"units": {"in", "mm"}, "species": {"walnut, black", "maple, sugar", "unheard of", ""}, "sawn": {"flat", "rift", "quarter"},
	"kerf_basis": {"nominal", "measured"}, "rounding": {"step", "position"}, "fixing": {"glue", "tape", "screws", "nails"},
	"round_up_to": {"division", "half_turn", "turn"}, "last_leaf": {"fence", "rest"}, "saw": {"bench", "metric", "none"},
	"operation": {"resaw", "rip", "crosscut"}, "goal": {"finish", "recovery", "speed"}, "gum": {"low", "medium", "high"},
}

var wildWords = []string{"", " ", "\u0000", "=1+1", "\n\r", strings.Repeat("x", 200), "ß漢字", "\u202e", "1e999", "-0", "NaN", "1/0", "3' 2\"", "8/4", "1,5", "0x10", "null"}

var wildNumbers = []string{"0", "-1", "1e15", "-1e15", "1e300", "1e-300", "1e999", "0.1234567890123", "1000001", "null", "true", `"x"`, "[]", "{}", "9007199254740993"}

func (g *generator) often(percent int) bool { return g.IntN(100) < percent }

func pickOf[T any](g *generator, list []T) T { return list[g.IntN(len(list))] }

// value gives a JSON value for a field.
func (g *generator) value(t reflect.Type, name string) string {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if g.wild && g.often(15) {
		if g.often(50) {
			return pickOf(g, wildNumbers)
		}
		return quoted(pickOf(g, wildWords))
	}
	switch {
	case t.Kind() == reflect.Struct:
		return g.object(t)
	case t.Kind() == reflect.Slice:
		return g.list(t.Elem(), name)
	case t == reflect.TypeFor[length.Length]():
		limits, ok := shopLengths[name]
		if !ok {
			limits = [2]float64{0, 0.3}
		}
		scale := 1.0
		if g.often(2) {
			scale = 50 // a run of thousands of leaves
		}
		return strconv.FormatFloat(scale*(limits[0]+g.Float64()*(limits[1]-limits[0])), 'f', g.IntN(5), 64)
	case t.Kind() == reflect.String:
		if words, ok := shopWords[name]; ok {
			return quoted(pickOf(g, words))
		}
		return quoted(fmt.Sprintf("n%d", g.IntN(1000)))
	case t.Kind() == reflect.Bool:
		return strconv.FormatBool(g.often(50))
	case name == "time_limit_seconds":
		return "0.02"
	case name == "quantity" && g.often(5):
		return strconv.Itoa(g.IntN(20_000))
	case t.Kind() == reflect.Int:
		return strconv.Itoa(g.IntN(12))
	}
	return strconv.FormatFloat(g.Float64()*50, 'f', g.IntN(3), 64)
}

func quoted(text string) string {
	b, _ := json.Marshal(text)
	return string(b)
}

func (g *generator) list(entry reflect.Type, name string) string {
	parts := make([]string, 1+g.IntN(4))
	for i := range parts {
		parts[i] = g.value(entry, name)
	}
	return "[" + strings.Join(parts, ",") + "]"
}

// object gives an object with what is required, and some of the rest.
func (g *generator) object(t reflect.Type) string {
	var members []string
	for _, f := range reflect.VisibleFields(t) {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		required := strings.HasPrefix(f.Tag.Get("validate"), "required")
		switch {
		case name == "" || f.Anonymous, g.flat && (name == "width" || name == "length"):
		case required && (!g.wild || g.often(95)), !required && g.often(25), !g.flat && (name == "width" || name == "length") && g.often(90), name == "time_limit_seconds":
			members = append(members, quoted(name)+":"+g.value(f.Type, name))
		}
	}
	if g.wild && g.often(10) {
		members = append(members, `"made_up":1`)
	}
	return "{" + strings.Join(members, ",") + "}"
}

// query gives the same as a query, of the scalars.
func (g *generator) query(k *endpoint.Calculator) string {
	values := url.Values{}
	for name, path := range k.QueryFields() {
		_, field, _ := strings.Cut("."+path, ".")
		if i := strings.LastIndex(field, "."); i >= 0 {
			field = field[i+1:]
		}
		if g.often(40) || strings.Contains(name, "thickness") {
			limits, ok := shopLengths[field]
			if !ok {
				limits = [2]float64{0, 5}
			}
			values.Set(name, strconv.FormatFloat(limits[0]+g.Float64()*(limits[1]-limits[0]), 'f', 3, 64))
			if words, ok := shopWords[field]; ok {
				values.Set(name, pickOf(g, words))
			}
		}
		if g.wild && g.often(5) {
			values.Set(name, pickOf(g, wildWords))
		}
	}
	return values.Encode()
}

// request makes one request.
func (g *generator) request(k *endpoint.Calculator) (method, target, body string) {
	g.wild, g.flat = g.often(40), g.often(35)
	target = k.Path + "?format=" + pickOf(g, k.Formats())
	if g.often(20) {
		target += "&pick=" + pickOf(g, []string{"units", "id", "turns", "warnings/0", "steps/1/turns", "//", "%00", "used"})
	}
	if g.often(20) {
		target += "&errors=cell"
	}
	if g.often(10) {
		target += "&decimal=comma"
	}
	if !k.Long && g.often(40) {
		return http.MethodGet, target + "&" + g.query(k), ""
	}
	return http.MethodPost, target, g.object(k.Request)
}

// TestGenerated sends requests of all kinds, at once from a few clients: none is
// answered with a 5xx but that the service is busy, no answer is huge, and the
// memory that is left is not. RESAWD_GENERATED says how many.
func TestGenerated(t *testing.T) {
	count := 1500
	if text := os.Getenv("RESAWD_GENERATED"); text != "" {
		count, _ = strconv.Atoi(text)
	}
	debug.SetMemoryLimit(192 << 20)
	seed := uint64(time.Now().UnixNano())
	server := apitest.Server(t, func(c *api.Config) { c.PlanTimeLimit = 50 * time.Millisecond })
	var mu sync.Mutex
	statuses, largest, largestOf := map[int]int{}, 0, ""
	slowest, slowestOf := time.Duration(0), ""
	var clients sync.WaitGroup
	for client := range 4 {
		g := &generator{Rand: rand.New(rand.NewPCG(seed, uint64(client)))}
		clients.Go(func() {
			for range count / 4 {
				k := pickOf(g, api.Calculators())
				method, target, body := g.request(&k)
				request := httptest.NewRequest(method, target, strings.NewReader(body))
				request.Header.Set("Content-Type", "application/json")
				answer := httptest.NewRecorder()
				began := time.Now()
				server.ServeHTTP(answer, request)
				took := time.Since(began)
				if answer.Code >= 500 && answer.Code != http.StatusServiceUnavailable || strings.Contains(answer.Body.String(), "internal-error") {
					t.Errorf("%s %s %s: status %d: %s", method, target, body, answer.Code, answer.Body)
				}
				mu.Lock()
				statuses[answer.Code]++
				if answer.Body.Len() > largest {
					largest, largestOf = answer.Body.Len(), method+" "+target+" "+body
				}
				if took > slowest && !k.Long {
					slowest, slowestOf = took, method+" "+target+" "+body
				}
				mu.Unlock()
			}
		})
	}
	clients.Wait()
	runtime.GC()
	var stats runtime.MemStats
	runtime.ReadMemStats(&stats)
	t.Logf("seed %d, statuses %v, the largest answer %d kB, %d MiB from the system, %s", seed, statuses, largest>>10, (stats.Sys-stats.HeapReleased)>>20, resident())
	t.Logf("the slowest but for plans took %s: %.300s", slowest, slowestOf)
	if slowest > 3*time.Second { // the machine may be busy
		t.Errorf("%s took %s", slowestOf, slowest)
	}
	if largest > 4<<20 {
		t.Errorf("an answer of %d bytes to %.1000s", largest, largestOf)
	}
	if statuses[200] < count/20 {
		t.Errorf("only %d of %d are answered: the generator asks nonsense", statuses[200], count)
	}
}

// resident tells the resident memory of this process, and the most it ever was.
func resident() string {
	text, _ := os.ReadFile("/proc/self/status")
	var lines []string
	for line := range strings.SplitSeq(string(text), "\n") {
		if strings.HasPrefix(line, "VmHWM") || strings.HasPrefix(line, "VmRSS") {
			lines = append(lines, strings.Join(strings.Fields(line), " "))
		}
	}
	return strings.Join(lines, ", ")
}
