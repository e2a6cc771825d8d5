package sheet_test

import (
	"fmt"
	"strings"
	"testing"
)

// kitPlan is of boards that each give a kit: two backs and a head plate take 2 x 0.25 and
// 0.15 of 0.7, and 0.05 stays on the fence.
const kitPlan = `{"boards":[{"name":"thick","thickness":0.7,"width":6,"length":24,"price":10.5,"quantity":%d}],
"parts":[{"name":"back","thickness":0.2,"width":6,"length":24,"quantity":4,"matched":2},{"name":"head plate","thickness":0.1,"width":6,"length":24,"quantity":2}],
"kits":[{"name":"instrument","quantity":2,"parts":[{"part":"back","quantity":2},{"part":"head plate","quantity":1}]}],"kerf":0.05,"hold_back":0.05}`

// TestPlanPageKits: what becomes of kits, which leaves to keep together, and what is left
// over, with a label for each piece: 0.05 of 0.7 is worth 0.75 of 10.5, and gives no more leaf.
func TestPlanPageKits(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", fmt.Sprintf(kitPlan, 2)))
	wantTexts(t, "kits", rowsOf(root, "kit"), []string{"instrument 2 x back, 1 x head plate | 2 | 2 | none"})
	wantTexts(t, "kept together", texts(elements(elements(root, "ul", "kits")[0], "li", "")), []string{"instrument 1: back A1 no. 1 to 2, head plate A1 no. 3"})
	wantTexts(t, "left over", rowsOf(root, "left"), []string{"thick 0.050 x 6.000 x 24.000 remainder of a billet, hold-back included | 2 | 0.75 USD (too thin for one more leaf)"})
	label := "thick 0.050 x 6.000 x 24.000 left over: remainder of a billet, hold-back included"
	wantTexts(t, "labels", texts(elements(section(t, root, "rack"), "li", "")), []string{label, label})
	checkIDs(t, root)
}

// TestPlanPageLeft: what is left over of 20 for 1 x 6 x 30, cut at 12 for two leaves of
// 0.05: 20 x 17.875 / 30, and 20 x 12 / 30 x 0.715; both are credited. Nothing is worth
// anything where the board has no price.
func TestPlanPageLeft(t *testing.T) {
	const order = `{"boards":[{"name":"b","thickness":1,"width":6,"length":30,"quantity":1%s}],"parts":[{"name":"p","thickness":0.05,"width":6,"length":12,"quantity":2,"divide":false}],"kerf":0.045,"skim":0.05,"hold_back":0.125}`
	offcut, rest := "b 1.000 x 6.000 x 17.875 offcut | 1 | ", "b 0.715 x 6.000 x 12.000 remainder of a billet, hold-back included | 1 | "
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", fmt.Sprintf(order, `,"price":20`)))
	wantTexts(t, "left over", rowsOf(root, "left"), []string{offcut + "11.92 USD", rest + "5.72 USD"})
	if price := words(section(t, root, "price")); !strings.Contains(price, "Left over-17.64") {
		t.Errorf("price %q", price)
	}
	root = parsed(t, shown(t, "POST", "/v1/plan?format=html", fmt.Sprintf(order, "")))
	wantTexts(t, "left over", rowsOf(root, "left"), []string{offcut + "-", rest + "-"})
}

// TestPlanPageUnmetKit: why a kit is unmet, and what would help.
func TestPlanPageUnmetKit(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", fmt.Sprintf(kitPlan, 1)))
	wantTexts(t, "kits", rowsOf(root, "kit"), []string{"instrument 2 x back, 1 x head plate | 2 | 1 | 1 missing"})
	wantTexts(t, "reasons", texts(elements(section(t, root, "verdict"), "p", ""))[:2], []string{
		"Missing: 1 x instrument (each 2 x back, 1 x head plate). Proven: these boards give no more than this plan, where kits come before other parts and each in its order.",
		"1 x instrument: the boards that it fits are used up. What would help: 1 more of thick, for 10.50 USD.",
	})
}

// TestPlanPlaces: a divided leaf's copies are told by leaf and place. Two kits of one back
// take the first places of the first leaf.
func TestPlanPlaces(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", `{"boards":[{"name":"b","thickness":0.5,"width":6,"length":24.05}],
"parts":[{"name":"back","thickness":0.2,"width":6,"length":12,"quantity":2},{"name":"head plate","thickness":0.2,"width":6,"length":24.05,"quantity":1}],
"kits":[{"name":"small","quantity":2,"parts":[{"part":"back","quantity":1}]}],"kerf":0.05,"hold_back":0}`))
	wantTexts(t, "kept together", texts(elements(elements(root, "ul", "kits")[0], "li", "")), []string{"small 1: back A1 no. 1 place 1", "small 2: back A1 no. 1 place 2"})
}

// TestPlanManySets: 60 kits of four backs each take 240 sets of one board, and every line
// names four.
func TestPlanManySets(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", `{"units":"mm","boards":[{"name":"b","thickness":300,"width":100,"length":400,"quantity":1}],
"parts":[{"name":"back","thickness":1,"width":100,"length":200,"quantity":240}],"kits":[{"name":"k","quantity":60,"parts":[{"part":"back","quantity":4}]}],"kerf":1,"leaf_kerf":0,"hold_back":0}`))
	lines := texts(elements(elements(root, "ul", "kits")[0], "li", ""))
	if len(lines) != 60 || lines[59] != "k 60: back A1 no. 119 place 1 and A1 no. 119 place 2 and A1 no. 120 place 1 and A1 no. 120 place 2" {
		t.Errorf("%d kits, the last %q", len(lines), lines[len(lines)-1])
	}
}

// manyReasons is an order whose parts are unmet for every reason there is.
const manyReasons = `{"boards":[{"name":"walnut 1","species":"walnut, black","sawn":"quarter","thickness":1,"width":8.5,"length":30,"quantity":1,"price":80},{"name":"maple","species":"maple, sugar","thickness":0.5,"width":4,"length":40,"quantity":1,"price":20,"defects":[{"from":18,"to":20}]}],
"parts":[{"name":"back","species":"walnut, black","sawn":"quarter","thickness":0.14,"width":8,"length":21,"quantity":12,"matched":2},
{"name":"long side","species":"walnut, black","thickness":0.11,"width":4.5,"length":42,"quantity":2},
{"name":"wide","species":"walnut, black","thickness":0.11,"width":9.5,"length":20,"quantity":2},
{"name":"block","species":"walnut, black","thickness":1.2,"width":4,"length":20,"quantity":1},
{"name":"ebony","species":"ebony","thickness":0.2,"width":2,"length":20,"quantity":1},
{"name":"flat","species":"walnut, black","sawn":"flat","thickness":0.2,"width":2,"length":20,"quantity":1},
{"name":"strip","species":"maple, sugar","thickness":0.08,"width":1,"length":30,"quantity":6},
{"name":"tall","thickness":0.08,"width":12,"length":30,"quantity":6}],
"kits":[{"name":"ukulele","quantity":2,"parts":[{"part":"back","quantity":4}]}],
"saw":"bench","kerf":0.045,"skim":"1/32","end_trim":"1/2","fixing":"glue"}`

// TestPlanPageHelp: why each part is unmet, what to do and for how much. A leaf of 0.11
// takes 1/32 + 0.045 of truing, 0.11 + 0.045 and 0.125 of hold-back, and its board is an
// inch longer for the trimmed ends; a cubic inch of walnut costs 80 / 255, of maple 20 / 80.
func TestPlanPageHelp(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", manyReasons))
	wantTexts(t, "reasons", texts(elements(section(t, root, "verdict"), "p", ""))[1:10], []string{
		"1 x ukulele: the boards that it fits are used up. What would help: 1 more of walnut 1, for 80.00 USD.",
		"4 x back: the boards that it fits are used up. What would help: 2 more of walnut 1, for 160.00 USD.",
		"2 x long side: no board is long enough. What would help: to buy a board of at least 0.356 x 4.500 x 43.000 in, walnut, black, which gives one, for about 21.63 USD by volume.",
		"2 x wide: no board is wide enough. What would help: to buy a board of at least 0.356 x 9.500 x 21.000 in, walnut, black, which gives one, for about 22.30 USD by volume.",
		"1 x block: no board is thick enough, with skim and hold-back. What would help: to buy a board of at least 1.446 x 4.000 x 21.000 in, walnut, black, which gives one, for about 38.11 USD by volume.",
		"1 x ebony: no board is of its species. What would help: to buy a board of at least 0.446 x 2.000 x 21.000 in, ebony, which gives one.",
		"1 x flat: no board of its species is sawn so. What would help: to buy a board of at least 0.446 x 2.000 x 21.000 in, walnut, black, flat sawn, which gives one.",
		"6 x strip: no stretch between defects is long enough. What would help: to buy a board of at least 0.326 x 2.000 x 31.000 in, maple, sugar, which gives one, for about 5.06 USD by volume.",
		"6 x tall: no board is wide enough. No larger board would help: the saw does not take a billet of that size.",
	})
}
