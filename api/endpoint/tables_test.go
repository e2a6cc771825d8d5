package endpoint

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"resawd/calc/length"
)

type shelfRequest struct {
	Units *string        `json:"units,omitzero"`
	Kerf  *length.Length `json:"kerf,omitzero"`
	Jars  []shelfJar     `json:"jars,omitzero" validate:"max=3,dive"`
	Lids  []shelfLid     `json:"lids,omitzero" validate:"max=3,dive"`
}

type shelfJar struct {
	Name   *string        `json:"name,omitzero"`
	Height *length.Length `json:"height,omitzero"`
	Marks  []shelfMark    `json:"marks,omitzero" validate:"max=2,dive"`
	Turns  []float64      `json:"turns,omitzero" validate:"max=4"`
}

type shelfMark struct {
	From *length.Length `json:"from,omitzero"`
	To   *length.Length `json:"to,omitzero"`
}

type shelfLid struct {
	Name  *string `json:"name,omitzero"`
	Holes *int    `json:"holes,omitzero"`

	Rim  shelfMark   `json:"rim,omitzero"`
	Fits []shelfFits `json:"fits,omitzero" validate:"max=2,dive"`
}

type shelfFits struct {
	Jar   *string `json:"jar,omitzero"`
	Count *int    `json:"count,omitzero"`
}

// readShelf reads a request from a table.
func readShelf(table string, comma bool) (q shelfRequest, r reader, where places, err error) {
	r = reader{unit: length.Inch, comma: comma}
	where, err = r.readTables(schemaFor(reflect.TypeFor[shelfRequest]()), reflect.ValueOf(&q).Elem(), []Table{{Text: []byte(table)}})
	return q, r, where, err
}

// TestReadTables reads lists of scalars and of objects from cells.
func TestReadTables(t *testing.T) {
	q, r, where, err := readShelf("table;name;height;marks;turns;holes\njar;a;1,5;\"1 2;3 1/2in;\";1 2,5;\n;;;;;\nlid;b;;;;3\njar;c;;;;\n", true)
	if err != nil || len(r.faults.list) > 0 {
		t.Fatal(err, r.faults.list)
	}
	if len(q.Jars) != 2 || len(q.Lids) != 1 || *q.Lids[0].Holes != 3 || *q.Jars[1].Name != "c" || q.Jars[1].Height != nil {
		t.Fatalf("%+v", q)
	}
	a := q.Jars[0]
	if *a.Height != 3*length.Inch/2 || len(a.Marks) != 2 || *a.Marks[1].From != 3*length.Inch || *a.Marks[1].To != length.Inch/2 || !reflect.DeepEqual(a.Turns, []float64{1, 2.5}) {
		t.Errorf("%+v", a)
	}
	if where["jars.0"] != "row 2" || where["lids.0"] != "row 4" || where["jars.1"] != "row 5" {
		t.Error(where)
	}
}

// TestReadTablesObjects: an object in a cell is its values; if the first is a name, it
// may contain spaces.
func TestReadTablesObjects(t *testing.T) {
	q, r, _, err := readShelf("table,name,rim,fits\nlid,a,1 2,jar 3; tall jar 12\n", false)
	if err != nil || len(r.faults.list) > 0 {
		t.Fatal(err, r.faults.list)
	}
	lid := q.Lids[0]
	if *lid.Rim.From != length.Inch || *lid.Rim.To != 2*length.Inch || len(lid.Fits) != 2 || *lid.Fits[0].Jar != "jar" || *lid.Fits[1].Jar != "tall jar" || *lid.Fits[1].Count != 12 {
		t.Errorf("%+v", lid)
	}
	for cell, want := range map[string]string{
		"1,":     "must be from and to; \"1\" was given",
		"1 2 3,": "must be from and to; \"1 2 3\" was given",
		",jar":   "must be jar and count, and a semicolon before the next; \"jar\" was given",
	} {
		_, r, _, err := readShelf("table,name,rim,fits\nlid,a,"+cell+"\n", false)
		if err != nil || len(r.faults.list) != 1 || r.faults.list[0].Detail != want {
			t.Errorf("%s: %v, %v", cell, err, r.faults.list)
		}
	}
}

// TestReadTablesLimits: reading stops one past each limit, which is enough to
// refuse the list.
func TestReadTablesLimits(t *testing.T) {
	q, _, _, err := readShelf("table,name,marks\n"+strings.Repeat("jar,a,1 2;1 2;1 2;1 2;1 2\n", 9)+"lid,b,\n", false)
	if err != nil || len(q.Jars) != 4 || len(q.Jars[0].Marks) != 3 || len(q.Lids) != 1 {
		t.Errorf("%v: %d jars with %d marks, %d lids", err, len(q.Jars), len(q.Jars[0].Marks), len(q.Lids))
	}
}

// FuzzReadTables: whatever the table, each of its rows is read, refused by name
// or beyond the limit, and the error is one that is told.
func FuzzReadTables(f *testing.F) {
	f.Add("table,name,height\njar,a,1/2\nlid,b,\n", false)
	f.Add("table;marks;turns\njar;1 2;1,5 2\n\"jar;\"\"\";1 2 3;\n", true)
	f.Add("\uFEFFtable\r\njar\r\n\r\nlid,\x00\r\n", false)
	f.Add("table,name,height,lead\njar,a,tall,1\nlid,b,,\n", false)
	f.Fuzz(func(t *testing.T, table string, comma bool) {
		q, r, where, err := readShelf(table, comma)
		var told *Failure
		switch {
		case err != nil && !errors.As(err, &told):
			t.Errorf("%q: %v", table, err)
		case err != nil:
		case len(q.Jars) > 4 || len(q.Lids) > 4 || len(where) != len(q.Jars)+len(q.Lids):
			t.Errorf("%q: %d jars, %d lids, at %v", table, len(q.Jars), len(q.Lids), where)
		}
		for _, fault := range r.faults.list {
			if fault.Detail == "" || fault.path == "" {
				t.Errorf("%q: %+v", table, fault)
			}
		}
	})
}
