package sheet_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// TestPrint prints run sheets with a browser: set-up and cautions stand on the
// first side of either paper, twelve cuts with their stops on the second, and a
// longer table goes on under its headings. Every side bears the board, the ID and
// its number.
func TestPrint(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds for each sheet")
	}
	chromium, pdftotext := tool(t, "chromium"), tool(t, "pdftotext")
	twelve := shown(t, "POST", "/v1/run?format=html", matchedRun)
	long := shown(t, "GET", strings.Replace(walnutRun, "leaf_count=12", "leaf_count=18", 1)+"&format=html", "")
	for _, paper := range []string{"A4", "letter"} {
		t.Run(paper, func(t *testing.T) {
			printed := func(page string) []string { return printPages(t, chromium, pdftotext, page, paper) }
			checkSides(t, printed(twelve), "koa-7", 12, 2)
			pages := printed(long)
			checkSides(t, pages, "walnut-1", 13, 3)
			if !strings.Contains(pages[2], "Dial reads") || !strings.Contains(pages[2], "Leaf 18") {
				t.Errorf("the last side has no headings or not the last leaf:\n%s", pages[2])
			}
		})
	}
}

// TestPrintPlan prints a plan: the summary on the first side, a side for each
// way to cut a board, the labels behind them, then two sides for each run sheet.
func TestPrintPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds for each plan")
	}
	chromium, pdftotext := tool(t, "chromium"), tool(t, "pdftotext")
	two := strings.Replace(oakSimple, `"parts":[`, `"parts":[{"name":"stave","thickness":0.7,"width":8,"length":40,"species":"ash, white","quantity":1},`, 1)
	two = strings.Replace(two, `"boards":[`, `"boards":[{"name":"ash-1","thickness":1,"width":8,"length":48,"species":"ash, white","price":40},`, 1)
	two = strings.Replace(two, `"name":"top"`, `"name":"top","species":"oak, white"`, 1)
	for _, paper := range []string{"A4", "letter"} {
		t.Run(paper, func(t *testing.T) {
			pages := printPages(t, chromium, pdftotext, shown(t, "POST", "/v1/plan?format=html", two), paper)
			want := [][]string{
				{"25 leaves from 3 boards for 169.00 USD", "Proven: no cheaper plan exists with these boards and these cuts.", "Boards to pull", "Parts"},
				{"ash-1 A: cut 1 board", "Crosscut at 40.500", "1 x stave, 0.700"},
				{"oak-1 A: cut 2 boards alike", "Crosscut at 44.000", "Rip the length for A3, A4 at 7.125", "3 x top, 0.200", "A1, A2, A3, A4: 3 x top 0.200", "fence"},
				{"Labels", "board 2 of 2", "Sources"},
			}
			if len(pages) != len(want)+2*5 {
				t.Fatalf("%d sides, want %d and two for each of five billets", len(pages), len(want))
			}
			for range 5 {
				want = append(want, []string{"Run sheet: ", "Set-up, in order", "Operator"}, []string{"Every cut", "Dial reads", "Leaf 1, "})
			}
			for i, page := range pages {
				for _, text := range append(want[i], fmt.Sprintf("page %d of %d", i+1, len(pages))) {
					if !strings.Contains(page, text) {
						t.Errorf("side %d does not say %q:\n%s", i+1, text, page)
					}
				}
				if i < 4 && strings.Contains(page, "Run sheet") {
					t.Errorf("side %d has a link that nobody can follow on paper", i+1)
				}
			}
		})
	}
}

// TestPrintHeadings: wherever a side ends, no heading stands at its foot with its table on
// the next one.
func TestPrintHeadings(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	chromium, pdftotext := tool(t, "chromium"), tool(t, "pdftotext")
	style := regexp.MustCompile(`(?s)<style>.*</style>`).FindString(shown(t, "GET", walnutRun+"&format=html", ""))
	var page strings.Builder
	page.WriteString("<html><head>" + style + "</head><body class=\"sheet plan\"><main>")
	for high := 230; high < 270; high += 2 {
		fmt.Fprintf(&page, `<div style="break-before:page;height:%dmm"></div><section><h2>Heading</h2><table class="list"><thead><tr><th>Part</th></tr></thead><tbody><tr><td>one<br>two</td></tr></tbody></table></section>`, high)
	}
	page.WriteString("</main></body></html>")
	headings := 0
	for i, side := range printPages(t, chromium, pdftotext, page.String(), "A4") {
		above, _, there := strings.Cut(side, "page ")
		if lines := strings.Fields(above); there && len(lines) > 0 && lines[len(lines)-1] == "Heading" {
			t.Errorf("side %d ends with a heading", i+1)
		}
		headings += strings.Count(side, "Heading")
	}
	if headings != 20 {
		t.Errorf("%d headings are printed", headings)
	}
}

// checkSides wants a number of pages, set-up to sources on the first, the first
// cuts on the second, and on each the board, the ID and the number.
func checkSides(t *testing.T, pages []string, board string, cuts, want int) {
	t.Helper()
	if len(pages) != want {
		t.Fatalf("%d pages, want %d", len(pages), want)
	}
	for cut := 1; cut <= cuts; cut++ {
		row := regexp.MustCompile(fmt.Sprintf(`(?m)^ *%d +[0-9]+ turns? \+ [0-9]+ `, cut))
		if !row.MatchString(pages[1]) {
			t.Errorf("cut %d is not on the second side:\n%s", cut, pages[1])
		}
	}
	for _, part := range []string{"Set-up, in order", "Cautions", "Sources", "Operator"} {
		if !strings.Contains(pages[0], part) {
			t.Errorf("%s does not stand on the first side", part)
		}
	}
	for i, page := range pages {
		foot := regexp.MustCompile(fmt.Sprintf(`Run sheet: %s, ID [0-9a-f]{16} +page %d of %d`, board, i+1, want))
		if !foot.MatchString(page) {
			t.Errorf("side %d does not tell its board, ID and number:\n%s", i+1, page)
		}
	}
}

// tool finds a program, or skips the test; with RESAWD_REQUIRE_TOOLS=1 it fails.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil && os.Getenv("RESAWD_REQUIRE_TOOLS") == "1" {
		t.Fatalf("%s is not installed, and RESAWD_REQUIRE_TOOLS=1", name)
	}
	if err != nil {
		t.Skipf("%s is not installed: nothing is printed (RESAWD_REQUIRE_TOOLS=1 makes this a failure)", name)
	}
	return path
}

// printPages prints a page on a paper and gives the text of each side.
func printPages(t *testing.T, chromium, pdftotext, page, paper string) []string {
	t.Helper()
	dir := t.TempDir()
	file, pdf := filepath.Join(dir, "sheet.html"), filepath.Join(dir, "sheet.pdf")
	page = strings.Replace(page, "</head>", "<style>@page{size:"+paper+"}</style></head>", 1)
	if err := os.WriteFile(file, []byte(page), 0o600); err != nil {
		t.Fatal(err)
	}
	execute(t, chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"), "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+file)
	text := execute(t, pdftotext, "-layout", pdf, "-")
	return strings.Split(strings.TrimSuffix(text, "\f"), "\f")
}

func execute(t *testing.T, name string, args ...string) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 90*time.Second)
	defer cancel()
	out, err := exec.CommandContext(ctx, name, args...).Output()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return string(out)
}
