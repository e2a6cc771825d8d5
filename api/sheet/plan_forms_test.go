package sheet_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"golang.org/x/net/html"
)

// everything is an order whose plan has all there is: several boards cut alike, kits,
// divided leaves, what is left over with and without a value, parts and kits unmet.
const everything = `{"boards":[{"name":"walnut","species":"walnut, black","thickness":1,"width":8.5,"length":60,"quantity":3,"price":75.5},{"name":"maple","species":"maple, sugar","thickness":0.75,"width":5,"length":34,"quantity":1,"price":20}],
"parts":[{"name":"back","species":"walnut, black","thickness":0.14,"width":8,"length":21,"quantity":40,"matched":2},{"name":"side","species":"walnut, black","thickness":0.11,"width":3.9,"length":32,"quantity":12,"matched":2,"spare":2},{"name":"head plate","species":"walnut, black","thickness":0.09,"width":3.5,"length":8,"quantity":20},{"name":"binding","species":"maple, sugar","thickness":0.08,"width":0.375,"length":32,"quantity":24},{"name":"bridge","species":"ebony","thickness":0.3,"width":2,"length":12,"quantity":6}],
"kits":[{"name":"uke", "quantity":20,"parts":[{"part":"back", "quantity":2},{"part":"head plate", "quantity":1}]}],
"kerf":0.045,"kerf_basis":"measured","leaf_kerf":0.02,"skim":"1/32","end_trim":"1/2","fixing":"glue","hold_back":0.125,"work_limit":200000}`

// figures are numbers by what they tell.
type figures map[string]float64

// number reads the first number of a text, as people write it; 0 where it has none.
func number(text string) float64 {
	n, _ := strconv.ParseFloat(regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`).FindString(text), 64)
	return n
}

// cents are what is told to a hundredth.
func cents(x float64) float64 { return math.Round(x*100) / 100 }

// plannedJSON is what this test reads of a plan.
type plannedJSON struct {
	Cost  float64
	Taken []struct {
		Board   string
		Copies  int
		Billets []struct {
			Mark          string
			Length, Width float64
			Leaves        []struct {
				Part       string
				LeafCount  int `json:"leaf_count"`
				EndToEnd   int `json:"end_to_end"`
				SideBySide int `json:"side_by_side"`
				Count      int
			}
		}
		Kits []struct {
			Kit   string
			Count int
		}
	}
	LeftOver []struct {
		Board                           string
		Copies                          int
		Thickness, Width, Length, Value float64
		TooThin                         bool `json:"too_thin"`
	} `json:"left_over"`
	Unmet []struct {
		Part, Kit string
		Quantity  int
	}
	Price struct {
		Lines []struct {
			Name   string
			Amount float64
		}
		Total float64
	}
	Stats struct {
		BoardCount  int `json:"board_count"`
		BilletCount int `json:"billet_count"`
		LeafCount   int `json:"leaf_count"`
		PassCount   int `json:"pass_count"`
		SetupCount  int `json:"setup_count"`
	}
}

// figuresOfJSON adds up what the answer says.
func figuresOfJSON(t *testing.T, text string) figures {
	t.Helper()
	var p plannedJSON
	if err := json.Unmarshal([]byte(text), &p); err != nil {
		t.Fatal(err)
	}
	f := figures{
		"cost": p.Cost, "boards": float64(p.Stats.BoardCount), "billets": float64(p.Stats.BilletCount), "leaves": float64(p.Stats.LeafCount),
		"passes": float64(p.Stats.PassCount), "set-ups": float64(p.Stats.SetupCount), "total": p.Price.Total,
	}
	boards, billets, leaves, credit := 0, 0, 0, 0.0
	for _, taken := range p.Taken {
		boards, billets = boards+taken.Copies, billets+taken.Copies*len(taken.Billets)
		f["copies of "+taken.Board] += float64(taken.Copies)
		for _, k := range taken.Kits {
			f["delivered "+k.Kit] += float64(taken.Copies * k.Count)
		}
		for _, b := range taken.Billets {
			f["labels "+b.Mark] = float64(taken.Copies)
			for _, l := range b.Leaves {
				leaves += taken.Copies * l.LeafCount
				f["delivered "+l.Part] += float64(taken.Copies * l.Count)
				f["places of "+b.Mark+" "+l.Part] = float64(l.EndToEnd * l.SideBySide)
				f["leaves of "+b.Mark+" "+l.Part] = float64(l.LeafCount)
			}
		}
	}
	if boards != p.Stats.BoardCount || billets != p.Stats.BilletCount || leaves != p.Stats.LeafCount {
		t.Errorf("%d boards, %d billets and %d leaves are taken, the stats say %+v", boards, billets, leaves, p.Stats)
	}
	for _, u := range p.Unmet {
		f["unmet "+u.Kit+u.Part] += float64(u.Quantity)
	}
	for _, l := range p.LeftOver {
		piece := fmt.Sprintf("%s %.3f x %.3f x %.3f", l.Board, l.Thickness, l.Width, l.Length)
		f["left over "+piece], f["worth "+piece] = float64(l.Copies), cents(l.Value)
		if !l.TooThin {
			credit += float64(l.Copies) * l.Value
		}
	}
	for _, l := range p.Price.Lines {
		if l.Amount != 0 {
			f["price "+l.Name] = l.Amount
		}
	}
	if cents(-credit) != f["price left_over"] || f["price left_over"] == 0 {
		t.Errorf("what is left over is worth %.4f, the price credits %v", credit, f["price left_over"])
	}
	return f
}

// figuresOfTable adds up the cut list: rows by the names of their columns.
func figuresOfTable(rows []map[string]string) figures {
	f := figures{}
	for _, row := range rows {
		copies, count := number(row["copies"]), number(row["count"])
		switch {
		case row["unmet"] != "":
			f["unmet "+row["kit"]+row["part"]] += number(row["unmet"])
		case row["kit"] != "":
			f["delivered "+row["kit"]] += copies * count
		default:
			f["delivered "+row["part"]] += copies * count
			f["places of "+row["billet"]+" "+row["part"]] = number(row["end_to_end"]) * number(row["side_by_side"])
			f["leaves of "+row["billet"]+" "+row["part"]] = number(row["leaf_count"])
			f["leaves"] += copies * number(row["leaf_count"])
			f["labels "+row["billet"]] = copies
			f["copies of "+row["board"]] = copies
		}
	}
	return f
}

// named gives the cells of rows by their heads.
func named(heads []string, rows [][]string) (list []map[string]string) {
	for _, row := range rows {
		cells := map[string]string{}
		for i, cell := range row {
			cells[strings.ReplaceAll(heads[i], " ", "_")] = cell
		}
		list = append(list, cells)
	}
	return list
}

// figuresOfCSV reads the cut list.
func figuresOfCSV(t *testing.T, text string) figures {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return figuresOfTable(named(rows[0], rows[1:]))
}

// figuresOfPage reads the page.
func figuresOfPage(t *testing.T, text string) figures {
	t.Helper()
	root, f := parsed(t, text), figures{}
	for i, name := range []string{"cost", "", "", "boards", "billets", "leaves", "passes", "set-ups"} {
		if name != "" {
			f[name] = number(texts(elements(section(t, root, "verdict"), "dd", ""))[i])
		}
	}
	cells := func(class string, each func(name string, cells []string)) {
		for _, row := range elements(root, "tr", class) {
			var told []string
			for _, cell := range elements(row, "td", "") {
				told = append(told, words(cell))
			}
			name := elements(row, "th", "")[0].FirstChild.Data
			each(strings.TrimSpace(name), told)
		}
	}
	cells("pull", func(name string, cells []string) { f["copies of "+name] = number(cells[1]) })
	cells("part", func(name string, cells []string) { f.outcome(name, cells[1], cells[2]) })
	cells("kit", func(name string, cells []string) { f.outcome(name, cells[1], cells[2]) })
	for _, row := range elements(root, "tr", "left") {
		told := elements(row, "td", "")
		piece := elements(row, "th", "")[0].FirstChild.Data + words(elements(row, "small", "")[0])
		f["left over "+piece], f["worth "+piece] = number(words(told[0])), number(strings.TrimSuffix(words(told[1]), " (too thin for one more leaf)"))
	}
	f.labels(t, root)
	for _, line := range elements(section(t, root, "price"), "div", "") {
		f.price(words(elements(line, "dt", "")[0]), number(words(elements(line, "dd", "")[0])))
	}
	f.leaves(texts(elements(root, "figcaption", "")))
	return f
}

// outcome notes what becomes of a part or a kit.
func (f figures) outcome(name, delivered, unmet string) {
	if n := number(delivered); n > 0 {
		f["delivered "+name] = n
	}
	if n := number(unmet); n > 0 {
		f["unmet "+name] = n
	}
}

// price notes a line of the price by its title.
func (f figures) price(title string, amount float64) {
	title = strings.TrimPrefix(title, "Price: ")
	if strings.HasPrefix(strings.ToLower(title), "total") {
		f["total"] = amount
		return
	}
	f["price "+strings.ReplaceAll(strings.ToLower(title), " ", "_")] = amount
}

// labels counts the labels of each billet and of what is left over.
func (f figures) labels(t *testing.T, root *html.Node) {
	t.Helper()
	for _, mark := range elements(section(t, root, "labels"), "b", "") {
		f["labels "+words(mark)]++
	}
	racked := figures{}
	for _, label := range elements(section(t, root, "rack"), "li", "") {
		piece, _, _ := strings.Cut(words(label), " left over:")
		racked["left over "+piece]++
	}
	for piece, n := range racked {
		if f[piece] != n {
			t.Errorf("%s: %v labels, and %v are listed", piece, n, f[piece])
		}
	}
}

// leafWords are the heading of a drawing of divided leaves.
var leafWords = regexp.MustCompile(`^(A[0-9]+), lea(?:f [0-9]+|ves ([0-9]+) to ([0-9]+)), .* into ([0-9]+) x (.*)$`)

// leaves notes the leaves that are drawn. Of boards that have one way to be cut each the
// mark follows from the part.
func (f figures) leaves(heads []string) {
	board := map[string]string{"back": "walnut ", "head plate": "walnut ", "binding": "maple "}
	for _, head := range heads {
		if m := leafWords.FindStringSubmatch(head); m != nil {
			leaf := board[m[5]] + m[1] + " " + m[5]
			f["places of "+leaf], f["leaves of "+leaf] = number(m[4]), number(m[3])-number(m[2])+1
		}
	}
}

// figuresOfBook reads the workbook.
func figuresOfBook(t *testing.T, text string) figures {
	t.Helper()
	file := opened(t, text)
	list, err := file.GetRows("Cut list", excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	f := figuresOfTable(named(list[4], list[5:]))
	sheet, err := file.GetRows("Plan", excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range sheet {
		switch {
		case len(row) == 1 && row[0] == "Boards to pull":
			f.block(sheet[i+1:], func(r map[string]string) { f["copies of "+r["board"]] = number(r["copies"]) })
		case len(row) == 1 && (row[0] == "Parts" || strings.HasPrefix(row[0], "Kits, ")):
			f.block(sheet[i+1:], func(r map[string]string) { f.outcome(r["part"]+r["kit"], r["delivered"], r["unmet"]) })
		case len(row) == 1 && strings.HasPrefix(row[0], "Left over"):
			f.block(sheet[i+1:], func(r map[string]string) {
				piece := fmt.Sprintf("%s %.3f x %.3f x %.3f", r["board"], number(r["thickness"]), number(r["width"]), number(r["length"]))
				f["left over "+piece], f["worth "+piece] = number(r["copies"]), cents(number(r["value"]))
			})
		case len(row) > 1 && strings.HasPrefix(row[0], "Price: "):
			f.price(row[0], number(row[1]))
		case len(row) > 1 && slices.Contains([]string{"Cost", "Boards", "Billets", "Leaves", "Passes", "Set-ups"}, row[0]):
			f[strings.ToLower(row[0])] = number(row[1])
		}
	}
	return f
}

// block reads a table of the sheet up to an empty row.
func (f figures) block(rows [][]string, each func(map[string]string)) {
	end := slices.IndexFunc(rows, func(row []string) bool { return len(row) == 0 })
	for _, row := range named(rows[0], rows[1:end]) {
		each(row)
	}
}

// figuresOfDrawing reads the drawing.
func figuresOfDrawing(t *testing.T, text string) figures {
	t.Helper()
	list, f := shapes(t, text), figures{}
	f["boards"] = number(list[1].text)
	for i, name := range []string{"boards", "", "billets", "leaves"} {
		if name != "" {
			f[name] = number(regexp.MustCompile("[0-9]+").FindAllString(list[2].text, -1)[i])
		}
	}
	var heads []string
	for i, s := range list {
		switch s.attr["class"] {
		case "head":
			name, told, _ := strings.Cut(s.text, " A: ")
			f["copies of "+name] = number(told)
		case "leaf-face-words":
			if goesOn := list[i-1].attr["class"] == "leaf-face-words"; goesOn {
				heads[len(heads)-1] += " " + s.text
			} else {
				heads = append(heads, s.text)
			}
		}
	}
	f.leaves(heads)
	return f
}

// TestPlanForms: every form of one plan tells the same numbers.
func TestPlanForms(t *testing.T) {
	form := func(name string) string { return shown(t, http.MethodPost, "/v1/plan?format="+name, everything) }
	want := figuresOfJSON(t, form("json"))
	for name, row := range map[string]struct {
		got   figures
		tells []string // what it must tell of
	}{
		"csv":  {figuresOfCSV(t, form("csv")), []string{"copies of", "delivered", "unmet", "labels", "places of", "leaves of"}},
		"html": {figuresOfPage(t, form("html")), []string{"cost", "boards", "billets", "leaves", "passes", "set-ups", "copies of", "delivered", "unmet", "labels", "left over", "worth", "price", "total", "places of", "leaves of"}},
		"xlsx": {figuresOfBook(t, form("xlsx")), []string{"cost", "boards", "billets", "leaves", "passes", "set-ups", "copies of", "delivered", "unmet", "labels", "left over", "worth", "price", "total", "places of", "leaves of"}},
		"svg":  {figuresOfDrawing(t, form("svg")), []string{"boards", "billets", "leaves", "copies of", "places of", "leaves of"}},
	} {
		for _, what := range slices.Sorted(maps.Keys(want)) {
			told, is := row.got[what]
			if must := slices.ContainsFunc(row.tells, func(start string) bool { return strings.HasPrefix(what, start) }); must && !is || is && told != want[what] {
				t.Errorf("%s tells %v of %s, the answer %v", name, told, what, want[what])
			}
		}
		for what := range row.got {
			if _, is := want[what]; !is {
				t.Errorf("%s tells of %s, the answer does not", name, what)
			}
		}
	}
	if want["unmet uke"] == 0 || want["copies of walnut"] < 2 || want["places of maple A1 binding"] < 2 {
		t.Errorf("the plan does not have all that is to be compared: %v", want)
	}
}
