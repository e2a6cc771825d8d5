package api

import (
	"bufio"
	"encoding/csv"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api/shop"
)

// bulkServer is a server that waits a time for more of a table, longer than it gives other
// requests.
func bulkServer(t *testing.T, patience time.Duration) *httptest.Server {
	t.Helper()
	server, _ := bulkService(t, patience, 200*time.Millisecond)
	return server
}

// bulkService gives a request the limit until it is known to be a table.
func bulkService(t *testing.T, patience, limit time.Duration) (*httptest.Server, *Server) {
	t.Helper()
	demo, err := shop.Demo()
	if err != nil {
		t.Fatal(err)
	}
	s := New(Config{Shop: demo, Build: "test", Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry(), BodyLimit: 100})
	s.bulkPatience = patience
	server := httptest.NewUnstartedServer(s)
	server.Config.ReadTimeout, server.Config.WriteTimeout = limit, limit
	server.Start()
	t.Cleanup(server.Close)
	return server, s
}

// tableOf sends a table, and returns the status and the lines of the answer.
func tableOf(t *testing.T, target, table string) (status int, lines []string) {
	t.Helper()
	answer, err := http.Post(bulkServer(t, time.Minute).URL+target, "text/csv", strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, strings.Split(strings.TrimSuffix(string(body), "\n"), "\n")
}

// saw is the query that has everything which the demo shop would supply.
const saw = "lead=0.1&divisions_per_turn=100&travel=4"

// TestBulk: a row is answered as it would be alone, and a row that is wrong says so in
// its own row.
func TestBulk(t *testing.T) {
	status, lines := tableOf(t, "/v1/dial?"+saw, "\uFEFFleaf_thickness, kerf\r\n"+
		"0.05,0.045\r\n"+
		"\r\n"+
		"\"1/2\",0.05\r\n"+
		"0,0.045\r\n"+
		"0.05,\r\n"+
		"0.05,0.045,\r\n"+
		"0.05,0.045,1\r\n"+
		"\"0.05,0.045\r\n"+
		"1/16\",0.0375")
	want := []string{
		"leaf_thickness,kerf,advance,advance_set,turns,turns_asked,whole_turns,divisions,leaf_deviation,position_deviation,units,warnings,error",
		"0.05,0.045,0.095,0.095,0.95,0.95,0,95,0,0,in,,",
		"1/2,0.05,0.55,0.55,5.5,5.5,5,50,0,0,in,,",
		"0,0.045,,,,,,,,,,,leaf_thickness: must be above 0 in; 0 in was given",
		`0.05,,0.095,0.095,0.95,0.95,0,95,0,0,in,"kerf: from the built-in demo shop; give your own, or start the service with --shop FILE",`,
		"0.05,0.045,0.095,0.095,0.95,0.95,0,95,0,0,in,,",
		`0.05,0.045,,,,,,,,,,,"the row has 3 cells, and the header 2"`,
		",,,,,,,,,,,,a quoted cell does not end on its line",
		`"1/16""",0.0375,0.1,0.1,1,1,1,0,0,0,in,,`,
	}
	if status != http.StatusOK || strings.Join(lines, "\n") != strings.Join(want, "\n") {
		t.Errorf("status %d:\n%s", status, strings.Join(lines, "\n"))
	}
}

// TestBulkWithin: what stands in an object of the answer has its columns too, as a run's
// summary, and none where there is no such object, as a price without a board's. Pages of
// instructions have none. A board of 0.5 gives, after 0.05 of skim, two leaves of 0.05
// with kerfs of 0.045 before the 0.125 that are held back; 0.215 stays.
func TestBulkWithin(t *testing.T) {
	status, lines := tableOf(t, "/v1/run?fixing=tape", "board_thickness,board_width,board_length,leaf_thickness,skim,board_price\n0.5,6,10,0.05,0.05,\n0.5,6,10,0.05,0.05,12\n")
	rows, err := csv.NewReader(strings.NewReader(strings.Join(lines, "\n"))).ReadAll()
	if status != http.StatusOK || err != nil || len(rows) != 3 {
		t.Fatal(status, err, lines)
	}
	for name, want := range map[string][2]string{
		"summary_leaf_count": {"2", "2"}, "summary_left_on_fence": {"0.215", "0.215"}, "summary_last_leaf_thickness": {"", ""},
		"price_currency": {"", "USD"}, "error": {"", ""},
	} {
		i := slices.Index(rows[0], name)
		if i < 0 || rows[1][i] != want[0] || rows[2][i] != want[1] {
			t.Errorf("%s: want %v in\n%v", name, want, rows)
		}
	}
	for _, name := range []string{"setup", "per_cut", "after", "cautions", "sources", "used_units"} {
		if slices.Contains(rows[0], name) {
			t.Errorf("%s has a column", name)
		}
	}
}

// TestBulkComma: columns are separated by semicolons, decimals have commas, and each
// row has its own units.
func TestBulkComma(t *testing.T) {
	status, lines := tableOf(t, "/v1/dial?decimal=comma", "leaf_thickness;kerf;lead;divisions_per_turn;travel;units\n1,5;1;2;100;100;mm\n0,05;0,045;0,1;100;4;\n")
	want := []string{
		"leaf_thickness;kerf;lead;divisions_per_turn;travel;units;advance;advance_set;turns;turns_asked;whole_turns;divisions;leaf_deviation;position_deviation;warnings;error",
		"1,5;1;2;100;100;mm;2,5;2,5;1,25;1,25;1;25;0;0;;",
		"0,05;0,045;0,1;100;4;;0,095;0,095;0,95;0,95;0;95;0;0;;",
	}
	if status != http.StatusOK || strings.Join(lines, "\n") != strings.Join(want, "\n") {
		t.Errorf("status %d:\n%s", status, strings.Join(lines, "\n"))
	}
	const words = `;Turn 1 division (0,001 in) less at every cut, an advance of 0,094 in: `
	if _, lines := tableOf(t, "/v1/gauge?decimal=comma", "readings;target;advances\n\"0,05;0,053;0,05;0,053\";0,05;0,095\n"); len(lines) < 2 || !strings.Contains(strings.ReplaceAll(lines[1], `"`, ""), words) {
		t.Errorf("%q", lines)
	}
}

// TestBulkLines: a row of 64 KiB is read, one of a byte more is not, and the row after
// it is.
func TestBulkLines(t *testing.T) {
	row := func(size int) string { return "0.05,0.045" + strings.Repeat(" ", size-len("0.05,0.045")) + "\n" }
	_, lines := tableOf(t, "/v1/dial?"+saw, "leaf_thickness,kerf\n"+row(64<<10)+row(64<<10+1)+row(300<<10)+"0.05,0.045\n")
	if len(lines) != 5 {
		t.Fatalf("%d lines", len(lines))
	}
	for i, want := range []string{"", ",in,,", ",the row is longer than 65536 bytes", ",the row is longer than 65536 bytes", ",in,,"} {
		if !strings.HasSuffix(lines[i], want) {
			t.Errorf("line %d ends in %q", i, lines[i][max(0, len(lines[i])-60):])
		}
	}
}

// TestBulkHeaders: a header that is wrong is refused as a whole.
func TestBulkHeaders(t *testing.T) {
	for name, c := range map[string]struct {
		target, table string
		status        int
		want          string
	}{
		"empty":       {"/v1/dial", "", 400, "the table is empty: its first row names the fields"},
		"blank":       {"/v1/dial", "\n \n", 400, "the table is empty"},
		"unknown":     {"/v1/dial", "leaf,kerf\n", 400, `"parameter":"leaf","detail":"is not a field of this request`},
		"twice":       {"/v1/dial", "kerf,kerf\n", 400, `"parameter":"kerf","detail":"is given more than once"`},
		"query":       {"/v1/dial?kerf=1", "leaf_thickness,kerf\n", 400, `"parameter":"kerf","detail":"stands in the header and in the query: give it in one of them"`},
		"query twice": {"/v1/dial?kerf=1&kerf=1", "leaf_thickness\n", 400, `"parameter":"kerf","detail":"is given more than once"`},
		"open quote":  {"/v1/dial", "\"kerf\n1\n", 400, "the header cannot be read: a quoted cell does not end on its line"},
		"too long":    {"/v1/dial", strings.Repeat("x", 64<<10+1), 400, "the header cannot be read: the row is longer than 65536 bytes"},
		"pick":        {"/v1/dial?pick=turns", "kerf\n", 400, "pick=turns does not go with a table"},
		"format":      {"/v1/dial?format=json", "kerf\n", 400, "format=json: it must be one of csv"},
	} {
		status, lines := tableOf(t, c.target, c.table)
		if body := strings.Join(lines, "\n"); status != c.status || !strings.Contains(body, c.want) {
			t.Errorf("%s: status %d: %s", name, status, body)
		}
	}
}

// TestBulkUnnamed: programs save columns that were once in use without a name. They stay
// empty in the answer, and what stands in one is told in its row.
func TestBulkUnnamed(t *testing.T) {
	status, lines := tableOf(t, "/v1/backlash", "from,, to,backlash,\n0.1,,0.2,0,\n0.1,x,0.2,0,\n0.1,,0.2,0\n")
	for i, want := range []string{"from,,to,backlash,,units,warnings,error", "0.1,,0.2,0,,in,", `0.1,x,0.2,0,,,,"the row has ""x"" in a column without a name"`, "0.1,,0.2,0,,in,"} {
		if status != 200 || i >= len(lines) || !strings.HasPrefix(lines[i], want) {
			t.Fatalf("status %d: %q, want in line %d %s", status, lines, i+1, want)
		}
	}
}

// TestBulkFormulas: wherever a row is repeated, what a spreadsheet would take for a
// formula is made harmless, and stays on its line.
func TestBulkFormulas(t *testing.T) {
	for cell, want := range map[string]string{
		`=1+1`: `'=1+1`, `+1+1`: `'+1+1`, `-1+1`: `'-1+1`, `@SUM(A1)`: `'@SUM(A1)`, "\t=1": "'\t'=1", "\r=1": "'" + " =1",
		`"=HYPERLINK(""http://x"",""y"")"`: `"'=HYPERLINK(""http://x"",""y"")"`, `=cmd|' /C calc'!A0`: `'=cmd|' /C calc'!A0`,
		"-5": "-5", "+1e3": "+1e3", "a\rb": "a b", "a=1": "a=1", "\xff": "\uFFFD",
	} {
		_, lines := tableOf(t, "/v1/dial?"+saw, "leaf_thickness,saw\n0.05,"+cell+"\n")
		if !strings.HasPrefix(lines[1], "0.05,"+want+",") {
			t.Errorf("%q: %s", cell, lines[1])
		}
	}
}

// duplex sends the rows of a table one by one.
type duplex struct {
	rows   *io.PipeWriter
	answer *http.Response
	lines  *bufio.Reader
}

func newDuplex(t *testing.T, server *httptest.Server) *duplex {
	t.Helper()
	in, out := io.Pipe()
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, server.URL+"/v1/dial?"+saw, in)
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Content-Type", "text/csv; charset=utf-8")
	go func() { _, _ = io.WriteString(out, "leaf_thickness,kerf\n") }()
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { answer.Body.Close() })
	return &duplex{out, answer, bufio.NewReader(answer.Body)}
}

func (d *duplex) line(t *testing.T) string {
	t.Helper()
	line, err := d.lines.ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return line
}

// TestBulkDuplex: each row is answered before the next is sent, for longer than
// the server gives other requests.
func TestBulkDuplex(t *testing.T) {
	d := newDuplex(t, bulkServer(t, time.Minute))
	d.line(t)
	for range 20 {
		if _, err := io.WriteString(d.rows, "0.05,0.045\n"); err != nil {
			t.Fatal(err)
		}
		if got := d.line(t); !strings.HasPrefix(got, "0.05,0.045,0.095,") {
			t.Fatal(got)
		}
		time.Sleep(25 * time.Millisecond)
	}
	d.rows.Close()
	if rest, err := io.ReadAll(d.lines); err != nil || len(rest) > 0 {
		t.Errorf("%q, %v", rest, err)
	}
}

// TestBulkStalls: a client that sends nothing for too long gets a last row that says
// so.
func TestBulkStalls(t *testing.T) {
	d := newDuplex(t, bulkServer(t, 100*time.Millisecond))
	d.line(t)
	if got := d.line(t); !strings.HasSuffix(got, "the table ends here: the rest of the body did not come in time\n") {
		t.Error(got)
	}
	d.rows.Close()
}

// TestBulkStops: when the service stops, a table that has more to come ends with a last
// row that says so.
func TestBulkStops(t *testing.T) {
	server, service := bulkService(t, time.Minute, time.Minute)
	d := newDuplex(t, server)
	d.line(t)
	if _, err := io.WriteString(d.rows, "0.05,0.045\n"); err != nil {
		t.Fatal(err)
	}
	d.line(t)
	service.Drain()
	if got := d.line(t); !strings.HasSuffix(got, ",the table ends here: the service is stopping: send the rest when it is back\n") {
		t.Error(got)
	}
	if rest, err := io.ReadAll(d.lines); err != nil || len(rest) > 0 {
		t.Errorf("%q, %v", rest, err)
	}
	d.rows.Close()
}

// TestBulkLeaves: a client that leaves, or never reads, leaves nothing running.
func TestBulkLeaves(t *testing.T) {
	server := bulkServer(t, 300*time.Millisecond)
	before := runtime.NumGoroutine()
	left := newDuplex(t, server)
	left.line(t)
	left.answer.Body.Close()
	left.rows.CloseWithError(errors.New("gone"))
	deaf := newDuplex(t, server)
	for err := error(nil); err == nil; {
		_, err = io.WriteString(deaf.rows, strings.Repeat("0.05,0.045\n", 1000))
	}
	deaf.answer.Body.Close()
	http.DefaultClient.CloseIdleConnections()
	eventually(t, "an end of the rows", func() bool { return runtime.NumGoroutine() <= before })
}

// TestBulkTurns: only so many tables are worked on at once, and none of those that
// wait for rows, or for somebody who reads, is one of them.
func TestBulkTurns(t *testing.T) {
	server, service := bulkService(t, time.Minute, time.Minute)
	turns := service.admission.turns
	for range cap(turns) {
		deaf := newDuplex(t, server)
		t.Cleanup(func() { deaf.rows.CloseWithError(errors.New("gone")) })
		go func() {
			for err := error(nil); err == nil; {
				_, err = io.WriteString(deaf.rows, strings.Repeat("0.05,0.045\n", 1000))
			}
		}()
	}
	eventually(t, "a wait for those who do not read", func() bool { return len(turns) == 0 })
	for range cap(turns) {
		waits := newDuplex(t, server)
		t.Cleanup(func() { waits.rows.Close() })
		waits.line(t)
	}
	d := newDuplex(t, server)
	defer d.rows.Close()
	d.line(t)
	for range cap(turns) {
		service.admission.takeTurn()
	}
	line := make(chan string)
	go func() { line <- d.line(t) }()
	if _, err := io.WriteString(d.rows, "0.05,0.045\n"); err != nil {
		t.Fatal(err)
	}
	select {
	case got := <-line:
		t.Errorf("without a turn came %q", got)
	case <-time.After(20 * time.Millisecond):
	}
	service.admission.endTurn()
	if got := soon(t, line); !strings.HasPrefix(got, "0.05,0.045,0.095,") {
		t.Error(got)
	}
	for range cap(turns) - 1 {
		service.admission.endTurn()
	}
}

// TestBulkMemory: a table of any length takes no more memory than a short one.
func TestBulkMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds")
	}
	in, out := io.Pipe()
	go func() {
		_, _ = io.WriteString(out, "leaf_thickness,kerf\n")
		for range 200 {
			_, _ = io.WriteString(out, strings.Repeat("0.05,0.045\n", 1000))
		}
		out.Close()
	}()
	answer, err := http.Post(bulkServer(t, time.Minute).URL+"/v1/dial", "text/csv", in)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	var m runtime.MemStats
	lines, most := 0, uint64(0)
	for scan := bufio.NewScanner(answer.Body); scan.Scan(); lines++ {
		if lines%10_000 == 0 {
			runtime.GC()
			runtime.ReadMemStats(&m)
			most = max(most, m.HeapAlloc)
		}
	}
	if lines != 200_001 || most > 32<<20 {
		t.Errorf("%d lines, %d bytes", lines, most)
	}
}
