package calculator_test

import (
	"bytes"
	"fmt"
	"math/rand"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// TestEveryRunIsAccepted: whatever the order, each run that its plan hands out is
// accepted as it stands, and each billet has one, since the saw takes every board
// here.
func TestEveryRunIsAccepted(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	random := rand.New(rand.NewSource(3))
	orders, runs, divided, kits := 1500, 0, 0, 0
	if testing.Short() {
		orders = 150
	}
	for range orders {
		order := anyOrder(random)
		for _, taken := range planOf(t, server.URL, order).Taken {
			for _, billet := range taken.Billets {
				if billet.Run == nil {
					t.Fatalf("%s: %s has no run", order, billet.Mark)
				}
				if status, body := post(t, server.URL+"/v1/run", string(billet.Run)); status != http.StatusOK {
					t.Fatalf("%s:\n%s\n%s", order, billet.Run, body)
				}
				runs++
				if bytes.Contains(billet.Run, []byte(`"divided"`)) {
					divided++
				}
			}
			kits += len(taken.Kits)
		}
	}
	if runs < orders || divided < orders/10 || kits < orders/10 {
		t.Errorf("only %d runs, %d of divided leaves, %d boards with kits", runs, divided, kits)
	}
}

// anyOrder makes up an order of boards that may bow, by less than the dial can
// set or by more, and of parts that may match, be divided, and stand in a kit.
func anyOrder(random *rand.Rand) string {
	unit, one := "in", 1.0
	if random.Intn(3) == 0 {
		unit, one = "mm", 25.4
	}
	size := func(least, most float64) string {
		return fmt.Sprintf("%.4f", one*(least+(most-least)*random.Float64()))
	}
	var boards, parts []string
	kits := ""
	for i := range 1 + random.Intn(3) {
		boards = append(boards, fmt.Sprintf(`{"name":"board %d","thickness":%s,"width":%s,"length":%s,"bow":%s,"quantity":%d}`,
			i, size(0.7, 3), size(4, 10), size(20, 50), size(0, 0.05*random.Float64()), 1+random.Intn(3)))
	}
	for i := range 1 + random.Intn(3) {
		matched := 1 + random.Intn(3)
		parts = append(parts, fmt.Sprintf(`{"name":"part %d","thickness":%s,"width":%s,"length":%s,"quantity":%d,"matched":%d,"divide":%t}`,
			i, size(0.015, 0.2), size(0.4, 6), size(5, 40), matched*(1+random.Intn(4)), matched, random.Intn(4) > 0))
		if i == 0 && random.Intn(3) == 0 {
			kits = fmt.Sprintf(`{"quantity":1,"parts":[{"part":"part 0","quantity":%d}]}`, matched)
		}
	}
	return fmt.Sprintf(`{"units":%q,"boards":[%s],"parts":[%s],"kits":[%s],"skim":%s,"kerf":%s,"fixing":%q,"work_limit":100000}`,
		unit, strings.Join(boards, ","), strings.Join(parts, ","), kits, size(0, 0.03*float64(random.Intn(2))), size(0.03, 0.06),
		[]string{"tape", "glue", "screws"}[random.Intn(3)])
}
