package api_test

import (
	"bytes"
	"html"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"regexp"
	"strings"
	"testing"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/api/contract"
	"resawd/api/key"
)

// guarded is a server that asks for keys, and its log.
func guarded(t *testing.T, change func(*api.Config)) (*api.Server, *bytes.Buffer) {
	t.Helper()
	ring, err := key.Read("../testdata/keys/keys.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	return apitest.Server(t, func(c *api.Config) {
		c.Keys, c.KeyInQuery, c.Origins = ring, true, []string{"https://shop.example"}
		c.Log = slog.New(slog.NewJSONHandler(&log, nil))
		if change != nil {
			change(c)
		}
	}), &log
}

// TestKeys sends every row to a server with keys. No key shows up again: not in an
// answer, not in the log, not in the metrics.
func TestKeys(t *testing.T) {
	handler, log := guarded(t, nil)
	server := httptest.NewServer(handler)
	defer server.Close()
	rows, err := contract.Read("../testdata/keys")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		t.Run(row.Name, func(t *testing.T) { exchangeRow(row).check(t, server.URL) })
	}
	said := log.String() + ask(handler, "/metrics", "for-the-watcher").Body.String()
	for _, secret := range []string{"for-the-", "for-who", "guessed"} {
		if strings.Contains(said, secret) {
			t.Errorf("log or metrics tell %s", secret)
		}
	}
	for _, want := range []string{`"key":"sheet"`, `"key":"watcher"`, `resawd_problems_total{type="/problems/unauthorized"}`} {
		if !strings.Contains(said, want) {
			t.Errorf("log and metrics do not tell %s", want)
		}
	}
}

// ask asks with a key.
func ask(server http.Handler, target, secret string) *httptest.ResponseRecorder {
	request := httptest.NewRequest(http.MethodGet, target, nil)
	request.Header.Set("Authorization", "Bearer "+secret)
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, request)
	return answer
}

// An answer is the same, and has the same ETag, whichever key asked for it and
// wherever the key stood.
func TestKeyLeavesNoTrace(t *testing.T) {
	server, _ := guarded(t, nil)
	const target = "/v1/run?board_thickness=0.5&board_width=6&board_length=10&leaf_thickness=0.05"
	for _, format := range []string{"json", "csv", "html", "svg"} {
		first := ask(server, target+"&format="+format, "for-the-sheet")
		for _, other := range []*httptest.ResponseRecorder{
			ask(server, target+"&format="+format, "for-the-office"), get(server, "/v1/run?key=for-the-sheet&"+strings.TrimPrefix(target, "/v1/run?")+"&format="+format),
		} {
			if first.Code != 200 || first.Header().Get("Etag") != other.Header().Get("Etag") || first.Body.String() != other.Body.String() || strings.Contains(other.Body.String(), "for-the-") {
				t.Errorf("%s: answers differ, or tell the key", format)
			}
		}
	}
}

// Without the switch, a key in the query opens nothing, and is not repeated.
func TestKeyInQueryIsOff(t *testing.T) {
	server, _ := guarded(t, func(c *api.Config) { c.KeyInQuery = false })
	for _, answer := range []*httptest.ResponseRecorder{get(server, "/v1/dial?leaf_thickness=0.05&key=for-the-sheet"), ask(server, "/v1/dial?leaf_thickness=0.05&key=for-the-sheet", "for-the-sheet")} {
		if answer.Code < 400 || strings.Contains(answer.Body.String(), "for-the-sheet") {
			t.Errorf("status %d: %s", answer.Code, answer.Body)
		}
	}
}

// What the shop pays and charges is shown only to keys with the role.
func TestPricesNeedTheRole(t *testing.T) {
	server, _ := guarded(t, nil)
	sheet, office := ask(server, "/v1/shop", "for-the-sheet").Body.String(), ask(server, "/v1/shop", "for-the-office").Body.String()
	for _, secret := range []string{`"price"`, `"labour_per_hour"`} {
		if strings.Contains(sheet, secret) || !strings.Contains(office, secret) {
			t.Errorf("%s: without the role %v, with it %v", secret, strings.Contains(sheet, secret), strings.Contains(office, secret))
		}
	}
	if sheet == office || !strings.Contains(sheet, `"kerf"`) {
		t.Error("the shop without prices is no shop")
	}
}

// The price calculator needs the role, alone and in a batch; the other calls of the
// batch are answered.
func TestPricesInABatch(t *testing.T) {
	server, _ := guarded(t, nil)
	const price = `{"wood_cost": 100, "leaf_count": 10, "run_seconds": 600}`
	for secret, want := range map[string]string{"for-the-sheet": `"status":403`, "for-the-office": `"total"`} {
		request := httptest.NewRequest(http.MethodPost, "/v1/batch", strings.NewReader(`{"requests": [{"path": "/v1/dial", "body": {"leaf_thickness": 0.05, "kerf": 0.045}}, {"path": "/v1/price", "body": `+price+`}]}`))
		request.Header.Set("Content-Type", "application/json")
		request.Header.Set("Authorization", "Bearer "+secret)
		answer := httptest.NewRecorder()
		server.ServeHTTP(answer, request)
		if text := answer.Body.String(); answer.Code != 200 || !strings.Contains(text, want) || !strings.Contains(text, `"turns":0.95`) {
			t.Errorf("%s: status %d: %s", secret, answer.Code, text)
		}
	}
	if answer := ask(server, "/v1/price?wood_cost=100&leaf_count=10&run_seconds=600", "for-the-sheet"); answer.Code != http.StatusForbidden {
		t.Errorf("alone: status %d", answer.Code)
	}
}

// A key, or an address without one, may ask a number of times and then has to wait.
func TestRateLimit(t *testing.T) {
	server, log := guarded(t, func(c *api.Config) {
		c.Limiter = key.NewLimiter(0.01, 2)
		c.TrustedProxies = []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}
	})
	statuses := func(secret, from, forwarded string) (list []int, retry string) {
		for range 3 {
			request := httptest.NewRequest(http.MethodGet, "/v1/dial?leaf_thickness=0.05", nil)
			request.RemoteAddr = from
			request.Header.Set("X-Forwarded-For", forwarded)
			if secret != "" {
				request.Header.Set("Authorization", "Bearer "+secret)
			}
			answer := httptest.NewRecorder()
			server.ServeHTTP(answer, request)
			list = append(list, answer.Code)
			retry = answer.Header().Get("Retry-After")
		}
		return list, retry
	}
	for _, c := range []struct {
		name, secret, from, forwarded string
		want                          [3]int
	}{
		{"a key", "for-the-sheet", "192.0.2.1:1", "", [3]int{200, 200, 429}},
		{"the same key from elsewhere", "for-the-sheet", "192.0.2.2:1", "", [3]int{429, 429, 429}},
		{"another key from there", "for-the-office", "192.0.2.2:1", "", [3]int{200, 200, 429}},
		{"an address that guesses keys", "guessed", "192.0.2.2:1", "", [3]int{401, 401, 429}},
		{"without a key", "", "192.0.2.2:2", "", [3]int{429, 429, 429}},
		{"which says that it is another", "", "192.0.2.2:3", "198.51.100.7", [3]int{429, 429, 429}},
		{"by a proxy that is trusted", "", "10.1.2.3:1", "198.51.100.7", [3]int{401, 401, 429}},
		{"by two, and the client lies", "", "10.1.2.3:1", "203.0.113.9, 198.51.100.8, 10.9.9.9", [3]int{401, 401, 429}},
		{"the same client by one", "", "10.1.2.4:1", "198.51.100.8", [3]int{429, 429, 429}},
		{"by a proxy that says nonsense", "", "10.1.2.3:1", "nonsense", [3]int{401, 401, 429}},
		{"a network of IPv6", "", "[2001:db8:1:2::1]:1", "", [3]int{401, 401, 429}},
		{"another address of it", "", "[2001:db8:1:2::ffff]:1", "", [3]int{429, 429, 429}},
	} {
		got, retry := statuses(c.secret, c.from, c.forwarded)
		if [3]int(got) != c.want || retry != "100" && retry != "99" {
			t.Errorf("%s: %v, want %v; Retry-After %q", c.name, got, c.want, retry)
		}
	}
	for from, want := range map[string]int{"192.0.2.2": 9, "198.51.100.7": 3, "198.51.100.8": 6, "2001:db8:1:2::/64": 6, "192.0.2.1": 0} {
		if n := strings.Count(log.String(), `"address":"`+from+`"`); n != want {
			t.Errorf("the log has the address %s %d times, want %d", from, n, want)
		}
	}
}

// TestLinksLeadSomewhere: a form has no link that a browser, which sends no key, could
// not follow.
func TestLinksLeadSomewhere(t *testing.T) {
	locked, _ := guarded(t, nil)
	apart := apitest.Server(t, func(c *api.Config) { c.MetricsApart = true })
	link := regexp.MustCompile(`<a href="(/[^"]*)"`)
	for server, want := range map[*api.Server]int{locked: 20, apart: 25} {
		found := link.FindAllStringSubmatch(ask(server, "/", "").Body.String(), -1)
		for _, l := range found {
			if status := ask(server, html.UnescapeString(l[1]), "").Code; status != http.StatusOK {
				t.Errorf("%s: status %d", l[1], status)
			}
		}
		if len(found) < want {
			t.Errorf("only %d links", len(found))
		}
	}
}

// With the metrics at their own address, there are none at /metrics.
func TestMetricsApart(t *testing.T) {
	server, _ := guarded(t, func(c *api.Config) { c.MetricsApart = true })
	if answer := ask(server, "/metrics", "for-the-watcher"); answer.Code != http.StatusNotFound {
		t.Errorf("status %d", answer.Code)
	}
	if answer := get(server.MetricsHandler(), "/metrics"); !strings.Contains(answer.Body.String(), "resawd_build_info") {
		t.Errorf("status %d", answer.Code)
	}
}
