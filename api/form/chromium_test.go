package form_test

import (
	"bufio"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"
	"golang.org/x/net/websocket"
)

// browser is a browser with one page, told what to do by its debugging protocol.
type browser struct {
	t    *testing.T
	page *websocket.Conn
	said int // messages so far
}

// shared is the browser whose pages the tests use, from the first of them that needs one:
// starting it takes longer than most tests. TestMain ends it.
var shared struct {
	command *exec.Cmd
	profile string
	host    string
}

func TestMain(m *testing.M) {
	code := m.Run()
	if shared.command != nil {
		_ = shared.command.Process.Kill() // ours alone
		_ = shared.command.Wait()         // killed, as it should be
		removeProfile(shared.profile)
	}
	os.Exit(code)
}

// start opens a page that closes with the test.
func start(t *testing.T) *browser {
	t.Helper()
	chromium, err := exec.LookPath("chromium")
	if err != nil && os.Getenv("RESAWD_REQUIRE_TOOLS") == "1" {
		t.Fatal("chromium is not installed, and RESAWD_REQUIRE_TOOLS=1")
	}
	if err != nil || testing.Short() {
		t.Skip("needs chromium, and seconds for each form")
	}
	if shared.command == nil {
		startBrowser(t, chromium)
	}
	return &browser{t: t, page: pageOf(t, shared.host)}
}

// startBrowser starts the browser.
func startBrowser(t *testing.T, chromium string) {
	t.Helper()
	profile, err := newProfile()
	if err != nil {
		t.Fatal(err)
	}
	command := exec.Command(chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--user-data-dir="+profile, "--remote-debugging-port=0", "--remote-allow-origins=*", "about:blank")
	told, err := command.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	shared.command, shared.profile = command, profile
	shared.host = listening(t, bufio.NewScanner(told))
	go func() { _, _ = io.Copy(io.Discard, told) }() // what it says further
}

// newProfile makes a folder that outlives the test that needs it first.
func newProfile() (string, error) { return os.MkdirTemp("", "resawd-profile-") }

// removeProfile removes a browser's folder. Its helpers may write into it for a moment
// after it was killed, so it is removed until it is gone.
func removeProfile(folder string) {
	for range 50 {
		if os.RemoveAll(folder) == nil {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
}

// listening reads where the browser listens.
func listening(t *testing.T, lines *bufio.Scanner) string {
	t.Helper()
	at := regexp.MustCompile(`DevTools listening on ws://([^/]+)/`)
	for lines.Scan() {
		if found := at.FindStringSubmatch(lines.Text()); len(found) > 1 {
			return found[1]
		}
	}
	t.Fatal("the browser does not listen")
	return ""
}

// pageOf opens a page.
func pageOf(t *testing.T, host string) *websocket.Conn {
	t.Helper()
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPut, "http://"+host+"/json/new?about:blank", http.NoBody)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	var target struct{ WebSocketDebuggerURL string }
	err = json.NewDecoder(answer.Body).Decode(&target)
	if err := answer.Body.Close(); err != nil {
		t.Error(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	page, err := websocket.Dial(target.WebSocketDebuggerURL, "", "http://"+host)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = websocket.JSON.Send(page, map[string]any{"id": 0, "method": "Page.close"})
		_ = page.Close() // the page may be gone before
	})
	return page
}

// do gives an order and waits for its answer.
func (b *browser) do(method string, parameters map[string]any) json.RawMessage {
	b.t.Helper()
	b.said++
	if err := websocket.JSON.Send(b.page, map[string]any{"id": b.said, "method": method, "params": parameters}); err != nil {
		b.t.Fatal(err)
	}
	for {
		var answer struct {
			ID     int
			Result json.RawMessage
		}
		if err := websocket.JSON.Receive(b.page, &answer); err != nil {
			b.t.Fatal(err)
		}
		if answer.ID == b.said {
			return answer.Result
		}
	}
}

// value is what an expression comes to in the page; nothing where the page gives way to
// another just then.
func (b *browser) value(expression string) string {
	b.t.Helper()
	told := b.do("Runtime.evaluate", map[string]any{"expression": expression, "returnByValue": true})
	if len(told) == 0 {
		return ""
	}
	var came struct{ Result struct{ Value any } }
	if err := json.Unmarshal(told, &came); err != nil {
		b.t.Fatal(err)
	}
	text, err := json.Marshal(came.Result.Value)
	if err != nil {
		b.t.Fatal(err)
	}
	return strings.Trim(string(text), `"`)
}

// wait waits until an expression is true in the page.
func (b *browser) wait(expression string) {
	b.t.Helper()
	for began := time.Now(); time.Since(began) < time.Minute; time.Sleep(50 * time.Millisecond) {
		if b.value(expression) == "true" {
			return
		}
	}
	b.t.Fatalf("%s never comes true; the page says %s", expression, b.value("document.body.innerText.slice(0, 2000)"))
}

// open opens an address and waits until what it asks is answered.
func (b *browser) open(address string) *html.Node {
	b.t.Helper()
	b.do("Page.navigate", map[string]any{"url": address})
	b.wait(`location.href !== "about:blank" && document.readyState === "complete"`)
	return b.answered()
}

// answered waits until nothing is asked any more, and gives the page.
func (b *browser) answered() *html.Node {
	b.t.Helper()
	b.wait(`!document.getElementById("answer").hasAttribute("aria-busy")`)
	var came struct{ Result struct{ Value string } }
	if err := json.Unmarshal(b.do("Runtime.evaluate", map[string]any{"expression": "document.documentElement.outerHTML", "returnByValue": true}), &came); err != nil {
		b.t.Fatal(err)
	}
	root, err := html.Parse(strings.NewReader(came.Result.Value))
	if err != nil {
		b.t.Fatal(err)
	}
	return root
}

// write writes where the cursor is; press presses a key.
func (b *browser) write(text string) { b.do("Input.insertText", map[string]any{"text": text}) }

func (b *browser) press(key string, code int, text string) {
	for _, kind := range []string{"keyDown", "keyUp"} {
		b.do("Input.dispatchKeyEvent", map[string]any{"type": kind, "key": key, "windowsVirtualKeyCode": code, "text": text})
	}
}
