package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// postTable posts a table for a plan.
func postTable(t *testing.T, query, table string) (int, string) {
	t.Helper()
	request := httptest.NewRequest(http.MethodPost, "/v1/plan?"+query, strings.NewReader(table))
	request.Header.Set("Content-Type", "text/csv")
	answer := httptest.NewRecorder()
	apitest.Server(t).ServeHTTP(answer, request)
	return answer.Code, answer.Body.String()
}

// TestPlanTable plans an order from a table: the plan is that of the same order
// as JSON, whatever separates the cells and decimals, with and without a
// byte-order mark.
func TestPlanTable(t *testing.T) {
	const query = "skim=1/32&end_trim=1/2&fixing=glue&saw=bench&format=json"
	table, err := os.ReadFile("../testdata/orders/maker.csv")
	if err != nil {
		t.Fatal(err)
	}
	order, err := os.ReadFile("../testdata/orders/maker.json")
	if err != nil {
		t.Fatal(err)
	}
	want := post(apitest.Server(t), "/v1/plan", string(order))
	if want.Code != http.StatusOK {
		t.Fatal(want.Body)
	}
	quoted := strings.NewReplacer(`"walnut, black"`, "\x00", `"maple, sugar"`, "\x01")
	unquoted := strings.NewReplacer("\x00", "walnut, black", "\x01", "maple, sugar")
	german := unquoted.Replace(strings.ReplaceAll(strings.ReplaceAll(quoted.Replace(string(table)), ",", ";"), ".", ","))
	for name, c := range map[string]struct{ query, table string }{
		"as it is":        {query, string(table)},
		"line ends, mark": {query, "\uFEFF" + strings.ReplaceAll(string(table), "\n", "\r\n")},
		"decimal commas":  {query + "&decimal=comma", german},
		"empty rows":      {query, strings.ReplaceAll(string(table), "\n", "\n\n,,,\n")},
		"plural, capital": {query, strings.ReplaceAll(strings.ReplaceAll(string(table), "board,", "Boards,"), "part,", "PARTS ,")},
	} {
		status, body := postTable(t, c.query, c.table)
		var got, same map[string]any
		if err := json.Unmarshal([]byte(body), &got); err != nil || status != http.StatusOK {
			t.Fatalf("%s: status %d, %v: %s", name, status, err, body)
		}
		if err := json.Unmarshal(want.Body.Bytes(), &same); err != nil {
			t.Fatal(err)
		}
		if got["id"] != same["id"] || got["cost"] != same["cost"] {
			t.Errorf("%s: plan %v at %v, want %v at %v", name, got["id"], got["cost"], same["id"], same["cost"])
		}
	}
}

// TestPlanTableRefusals: faults name the row and the column.
func TestPlanTableRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		query, table string
		status       int
		want         string
	}{
		"empty":            {"", "", 400, `"detail":"the table is empty: its first row names the fields"`},
		"no column table":  {"", "thickness,quantity\n1,\n", 400, `"detail":"the header has no column table, which says of each row whether it is one of boards, parts`},
		"another kind":     {"", "table,thickness\nplank,1\n", 400, `row 2 has \"plank\" under table: it must be one of boards, parts`},
		"unknown column":   {"", "table,thickness,tone\nboard,1,x\npart,.1,\n", 400, `{"parameter":"tone","detail":"in the header: is not a field of any list","code":"unknown_field"}`},
		"column twice":     {"", "table,thickness,thickness\nboard,1,1\n", 400, `{"parameter":"thickness","detail":"stands twice in the header","code":"duplicate_field"}`},
		"of the others":    {"", "table,thickness,quantity,matched\nboard,1,,2\npart,.1,2,\n", 400, `{"parameter":"matched","detail":"in row 2: is not a field of boards; its fields are name, `},
		"no name":          {"", "table,thickness,quantity\nboard,1,\npart,.1,1,9\n", 400, `row 3 has \"9\" in a column without a name`},
		"open quote":       {"", "table,thickness,quantity\nboard,\"1,\npart,.1,1\n", 400, `"detail":"row 2 cannot be read: a quoted cell does not end on its line"`},
		"too long":         {"", "table,thickness\nboard," + strings.Repeat(" ", 64<<10) + "1\n", 400, `"detail":"row 2 cannot be read: the row is longer than 65536 bytes"`},
		"wrong type":       {"", "table,thickness,quantity\nboard,1,\n\npart,.1,many\n", 400, `{"parameter":"quantity","detail":"in row 4: must be a whole number; \"many\" was given","code":"wrong_type"}`},
		"out of range":     {"units=mm", "table,thickness,quantity\nboard,-5,\npart,2,1\n", 422, `{"parameter":"thickness","detail":"in row 2: must be above 0 mm; -5 mm was given","code":"out_of_range"}`},
		"missing":          {"", "table,thickness,quantity\nboard,1,\npart,,1\n", 422, `{"parameter":"thickness","detail":"in row 3: is missing","code":"required"}`},
		"no parts":         {"", "table,thickness,quantity\nboard,1,\n", 422, `{"parameter":"parts","detail":"is missing","code":"required"}`},
		"a point":          {"decimal=comma", "table;thickness;quantity\nboard;1.5;\npart;,1;1\n", 400, `in row 2: \"1.5\" has a point where the decimal sign is a comma`},
		"half a defect":    {"", "table,thickness,quantity,length,width,defects\nboard,1,,20,5,3 5;7\npart,.1,1,10,4,\n", 400, `{"parameter":"defects","detail":"in row 2: must be from and to, and a semicolon before the next; \"7\" was given","code":"wrong_type"}`},
		"backward defect":  {"", "table,thickness,quantity,length,width,defects\nboard,1,,20,5,5 3x\npart,.1,1,10,4,\n", 400, `{"parameter":"defects.0.to","detail":"in row 2: `},
		"query":            {"kerf=-1", "table,thickness,quantity\nboard,1,\npart,.1,1\n", 422, `{"parameter":"kerf","detail":"must be at least 0 in; -1 in was given"`},
		"query, unknown":   {"tone=1", "table,thickness,quantity\nboard,1,\npart,.1,1\n", 400, `{"parameter":"tone","detail":"is not a field of this request`},
		"found by solving": {"", "table,thickness,quantity,matched\nboard,2,,\npart,1/16,3,2\n", 422, `{"parameter":"quantity","detail":"in row 3: `},
		"in a cell":        {"errors=cell", "table,thickness,quantity\nboard,1,\npart,-1,1\n", 200, "error\nerror: thickness: in row 3: must be above 0 in; -1 in was given\n"},
		"too many":         {"", "table,thickness,quantity\nboard,1,\n" + strings.Repeat("part,.1,1\n", 2001), 422, `"detail":"parts must have at most 2000 entries`},
	} {
		status, body := postTable(t, c.query, c.table)
		if status != c.status || !strings.Contains(body, c.want) {
			t.Errorf("%s: status %d: %.400s\nwant %s", name, status, body, c.want)
		}
	}
}

// TestPlanTableForms: a client that sends a table and asks for no form gets the cut
// list as a table; the warning about a quarter size names its row.
func TestPlanTableForms(t *testing.T) {
	const table = "table,thickness,quantity\nboard,8/4,\npart,1/16,2\n"
	if status, body := postTable(t, "", table); status != 200 || !strings.HasPrefix(body, "board,copies,billet,") {
		t.Errorf("status %d: %s", status, body)
	}
	if status, body := postTable(t, "pick=warnings/0&format=text", table); status != 200 || !strings.HasPrefix(body, "thickness in row 2: 8/4 is a quarter size") {
		t.Errorf("status %d: %s", status, body)
	}
}

// TestManyQuarterSizes: what holds of many boards is said once.
func TestManyQuarterSizes(t *testing.T) {
	boards := strings.Repeat(`{"thickness": "8/4"}, `, 7) + `{"thickness": "5/4"}, {"thickness": "5/4"}`
	answer := post(apitest.Server(t), "/v1/plan", `{"boards": [`+boards+`], "parts": [{"thickness": 0.1, "quantity": 1}]}`)
	for _, want := range []string{
		`"warnings":["boards, entry 1, thickness; boards, entry 2, thickness; boards, entry 3, thickness; boards, entry 4, thickness; and 3 more: 8/4 is a quarter size`,
		`give its thickness","boards, entry 8, thickness; boards, entry 9, thickness: 5/4 is a quarter size`,
	} {
		if !strings.Contains(answer.Body.String(), want) {
			t.Errorf("%s lacks %s", answer.Body, want)
		}
	}
	if status, body := postTable(t, "pick=warnings/0&format=text", "table,thickness,quantity\nboard,8/4,\nboard,8/4,\npart,1/16,2\n"); status != 200 || !strings.HasPrefix(body, "thickness in row 2; thickness in row 3: 8/4 is") {
		t.Errorf("status %d: %s", status, body)
	}
}

// TestQuarterSizes: of an entry in a list, a quarter size is told as people count.
func TestQuarterSizes(t *testing.T) {
	body := `{"boards": [{"thickness": 1}, {"thickness": "8/4"}], "parts": [{"thickness": 0.1, "quantity": 1}], "smallest_billet": {"length": "16/4"}}`
	answer := post(apitest.Server(t), "/v1/plan", body)
	for _, want := range []string{`"boards, entry 2, thickness: 8/4 is a quarter size`, `"smallest_billet.length: 16/4 is a quarter size`} {
		if !strings.Contains(answer.Body.String(), want) {
			t.Errorf("%s lacks %s", answer.Body, want)
		}
	}
}
