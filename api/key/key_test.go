package key_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"resawd/api/key"
)

// The digest of the secret "abc", from FIPS 180-4 (its first worked example).
const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

// entry is a good entry of a keys file, with one thing changed.
func entry(old, changed string) string {
	const good = "- name: office-sheet\n  sha256: " + abc + "\n  roles: [use, prices]\n  expires: 2027-12-31\n"
	return strings.Replace(good, old, changed, 1)
}

func TestFind(t *testing.T) {
	ring, err := key.Parse([]byte(entry("", "") + "- {name: other, sha256: \"" + strings.Repeat("0", 64) + "\", roles: [metrics]}\n"))
	if err != nil || ring.Len() != 2 {
		t.Fatalf("%v keys, error %v", ring, err)
	}
	k, ok := ring.Find("abc")
	if !ok || k.Name != "office-sheet" || !k.May(key.Use) || !k.May(key.Prices) || k.May(key.Metrics) {
		t.Errorf("found %+v, %v", k, ok)
	}
	for _, wrong := range []string{"", "abd", "ABC", "abc ", abc} {
		if k, ok := ring.Find(wrong); ok {
			t.Errorf("%q opens %+v", wrong, k)
		}
	}
	last := time.Date(2027, 12, 31, 23, 59, 59, 999_999_999, time.UTC)
	if k.Expired(last) || !k.Expired(last.Add(1)) {
		t.Errorf("it expires at %s", k.Expires)
	}
}

func TestNew(t *testing.T) {
	secret, digest := key.New()
	again, _ := key.New()
	if secret == again || len(secret) != len("resawd_")+43 { // 32 bytes are 43 letters of base64
		t.Errorf("secrets %q and %q", secret, again)
	}
	ring, err := key.Parse([]byte(entry(abc, digest)))
	if err != nil {
		t.Fatal(err)
	}
	if k, ok := ring.Find(secret); !ok || k.Name != "office-sheet" {
		t.Errorf("found %+v, %v", k, ok)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "it is empty"},
		{"comments alone", "# none yet\n", "it holds no key; make one with: resawd key new"},
		{"an empty list", "[]", "it holds no key"},
		{"no list", "name: x", "line 1: must be a list"},
		{"a field nobody knows", entry("name:", "label:"), `unknown field "label"`},
		{"no name", entry("office-sheet", `""`), "line 1: name must have 1 to 60 letters"},
		{"a name of two lines", entry("office-sheet", `"a\nb"`), "line 1: name must have"},
		{"a long name", entry("office-sheet", strings.Repeat("x", 61)), "line 1: name must have"},
		{"a name twice", entry("", "") + entry("", ""), `line 5: name is "office-sheet", like that of key 1`},
		{"a short digest", entry(abc, abc[:62]), "line 2: sha256 must be the 64 hexadecimal digits"},
		{"a long digest", entry(abc, abc+"00"), "line 2: sha256 must be"},
		{"no digest", entry(abc, "resawd_secret"), "line 2: sha256 must be"},
		{"the same key twice", entry("", "") + entry("office-sheet", "laptop"), "line 6: sha256 is that of key 1: it is the same key"},
		{"two documents", entry("", "") + "---\n" + entry("office-sheet", "laptop"), "line 6: a second document begins here"},
		{"a tab", "- name: x\n\tsha256: x\n", "line 2: it begins with a tab: indent with spaces"},
		{"no roles", entry("[use, prices]", "[]"), "line 3: roles is missing"},
		{"a role nobody knows", entry("prices", "owner"), `line 3: roles are use, prices and metrics; "owner" was given`},
		{"no day", entry("2027-12-31", "soon"), `line 4: expires must be a day such as 2027-12-31; "soon" was given`},
		{"a day there is not", entry("2027-12-31", "2027-02-30"), "line 4: expires must be a day"},
		{"nesting", strings.Repeat("[", 50_000), "nested more than 10 deep"},
		{"too many", numbered(1001), "it holds 1001 keys; the most is 1000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := key.Parse([]byte(c.text))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
			if err != nil && (strings.Contains(err.Error(), abc[:8]) || strings.Contains(err.Error(), "secret")) {
				t.Errorf("the error tells a digest or a key: %v", err)
			}
		})
	}
}

func numbered(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "- {name: k%d, sha256: \"%064x\", roles: [use]}\n", i, i)
	}
	return b.String()
}

func TestRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "keys.yaml")
	if err := os.WriteFile(path, []byte(entry("", "")), 0o600); err != nil {
		t.Fatal(err)
	}
	if ring, err := key.Read(path); err != nil || ring.Len() != 1 {
		t.Errorf("keys %v, error %v", ring, err)
	}
	if _, err := key.Read("nowhere.yaml"); err == nil || err.Error() != "keys file nowhere.yaml:\nno such file or directory" {
		t.Errorf("error %v", err)
	}
}

func TestBearer(t *testing.T) {
	for _, c := range []struct {
		header, want string
		ok           bool
	}{
		{"Bearer abc", "abc", true},
		{"bearer  abc", "abc", true},
		{"Bearer ", "", false},
		{"Bearer", "", false},
		{"Basic abc", "", false},
		{"", "", false},
	} {
		if got, ok := key.Bearer(c.header); ok != c.ok || ok && got != c.want {
			t.Errorf("%q gives %q, %v", c.header, got, ok)
		}
	}
}

// At 10 a second and 3 at once, the fourth waits a tenth of a second; a second later
// there are 3 again, not 10.
func TestLimiter(t *testing.T) {
	l := key.NewLimiter(10, 3)
	at := time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)
	for i := range 3 {
		if _, ok := l.Take("a", at); !ok {
			t.Fatalf("request %d waits", i+1)
		}
	}
	if wait, ok := l.Take("a", at); ok || wait != 100*time.Millisecond {
		t.Errorf("the fourth waits %s", wait)
	}
	if _, ok := l.Take("b", at); !ok {
		t.Error("another caller waits")
	}
	if _, ok := l.Take("a", at.Add(-time.Hour)); ok {
		t.Error("a clock set back gives requests")
	}
	for i := range 3 {
		if _, ok := l.Take("a", at.Add(time.Second)); !ok {
			t.Errorf("request %d of the next second waits", i+1)
		}
	}
	if _, ok := l.Take("a", at.Add(time.Second)); ok {
		t.Error("a second gives more than the burst")
	}
}

// A clock that jumps, either way, costs nobody their requests and gives no more than
// the burst; callers that rest are forgotten all the same.
func TestLimiterClock(t *testing.T) {
	l := key.NewLimiter(10, 3)
	at := time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)
	for _, jump := range []time.Duration{0, 100 * 365 * 24 * time.Hour, -200 * 365 * 24 * time.Hour, time.Hour} {
		at = at.Add(jump)
		taken := 0
		for range 10 {
			if _, ok := l.Take("a", at); ok {
				taken++
			}
		}
		if taken > 3 {
			t.Errorf("a jump of %s gives %d requests at once", jump, taken)
		}
		at = at.Add(time.Second)
		if _, ok := l.Take("a", at); !ok {
			t.Errorf("a second after a jump of %s a request waits", jump)
		}
	}
	for i := range 20_000 {
		l.Take(strconv.Itoa(i), at)
	}
	at = at.Add(-time.Hour)
	l.Take("new", at)
	if _, ok := l.Take("newer", at.Add(2*time.Second)); !ok {
		t.Error("with the clock set back, callers that rest are not forgotten")
	}
}

// Callers beyond maxBuckets share the bucket of one.
func TestLimiterIsBounded(t *testing.T) {
	l := key.NewLimiter(1, 2)
	at := time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)
	taken := 0
	for i := range 20_000 {
		if _, ok := l.Take(strconv.Itoa(i), at); ok {
			taken++
		}
	}
	if taken != 10_002 {
		t.Errorf("%d of 20000 callers got a request; 10000 have their own bucket, the rest share 2", taken)
	}
	if _, ok := l.Take("new", at.Add(time.Minute)); !ok {
		t.Error("callers that rest are not forgotten")
	}
}

// FuzzParse: whatever the file, it gives keys, each with a name and a role, or says
// what is wrong with it.
func FuzzParse(f *testing.F) {
	f.Add(entry("", ""))
	f.Add(entry("[use, prices]", "&a [*a]"))
	f.Add("- {name: other, sha256: 0, roles: [metrics], expires: 9999-99-99}\n")
	f.Fuzz(func(t *testing.T, text string) {
		ring, err := key.Parse([]byte(text))
		if (ring == nil) == (err == nil) || err != nil && err.Error() == "" {
			t.Fatalf("keys %v, error %v", ring, err)
		}
		if ring == nil {
			return
		}
		if k, ok := ring.Find("abc"); ok && (!key.ValidName(k.Name) || len(k.Roles) == 0) {
			t.Errorf("%q gives %+v", text, k)
		}
	})
}
