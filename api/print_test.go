package api_test

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

// TestPrint prints run sheets with a browser: twelve cuts stand on one side of
// either paper, everything else on the other, and a longer table goes on under
// its headings.
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
			checkSides(t, printed(twelve), 12, 2)
			pages := printed(long)
			checkSides(t, pages, 13, 3)
			if !strings.Contains(pages[1], "Dial reads") || !strings.Contains(pages[1], "Leaf 18") {
				t.Errorf("the second side has no headings or not the last leaf:\n%s", pages[1])
			}
		})
	}
}

// checkSides wants a number of pages, the first cuts on the first and set-up to
// sources on the last.
func checkSides(t *testing.T, pages []string, cuts, want int) {
	t.Helper()
	if len(pages) != want {
		t.Fatalf("%d pages, want %d", len(pages), want)
	}
	for cut := 1; cut <= cuts; cut++ {
		row := regexp.MustCompile(fmt.Sprintf(`(?m)^ *%d +[0-9]+ turns? \+ [0-9]+ `, cut))
		if !row.MatchString(pages[0]) {
			t.Errorf("cut %d is not on the first side:\n%s", cut, pages[0])
		}
	}
	for _, part := range []string{"Set-up, in order", "Every cut", "Cautions", "Sources"} {
		if !strings.Contains(pages[want-1], part) || strings.Contains(pages[0], part) {
			t.Errorf("%s does not stand on the last side", part)
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
