package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// needs skips a test if a tool is missing, or fails it if tools are required.
func needs(t *testing.T, tool string) {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		demand(t, tool)
	}
}

// demand skips or fails a test that lacks a tool.
func demand(t *testing.T, tool string) {
	t.Helper()
	if os.Getenv("RESAWD_REQUIRE_TOOLS") != "" {
		t.Fatalf("%s is missing, and RESAWD_REQUIRE_TOOLS demands it", tool)
	}
	t.Skipf("%s is missing: install it to run this test", tool)
}

var consoleBlock = regexp.MustCompile("(?s)```console\n(.*?)```")

// TestReadmeExamples runs every console line of the README as written. A file that curl
// reads first sends what goes to the README's port to the service under test.
func TestReadmeExamples(t *testing.T) {
	needs(t, "curl")
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	s := start(t)
	defer s.stop()
	home := t.TempDir()
	redirect := "connect-to = 127.0.0.1:8080:" + s.address() + "\n"
	if err := os.WriteFile(filepath.Join(home, ".curlrc"), []byte(redirect), 0o600); err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, block := range consoleBlock.FindAllStringSubmatch(string(readme), -1) {
		for part := range strings.SplitSeq(strings.TrimPrefix(block[1], "$ "), "\n$ ") {
			line, want, _ := strings.Cut(part, "\n")
			command := exec.CommandContext(t.Context(), "sh", "-c", line)
			command.Env = append(os.Environ(), "CURL_HOME="+home, "no_proxy=*")
			command.Dir = "../.." // where a reader of the README stands
			got, err := command.Output()
			if err != nil || strings.TrimSpace(string(got)) != strings.TrimSpace(want) {
				t.Errorf("%s\nprints %q, %v\nwant   %q", line, got, err, want)
			}
			ran++
		}
	}
	if ran < 5 {
		t.Errorf("ran only %d examples", ran)
	}
}
