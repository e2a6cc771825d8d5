package toy

import (
	"slices"
	"testing"
)

func TestToy(t *testing.T) {
	if Inches(50.8) != 2 || Clamp(1) != 5 || Clamp(7) != 7 {
		t.Error("wrong")
	}
	if _, err := Root(-1); err == nil {
		t.Error("a negative root")
	}
	if _, err := Root(0); err != nil {
		t.Error(err)
	}
	if want := []string{"name,value", "a,12", "b 3,1/2"}; !slices.Equal(Table()[:3], want) {
		t.Error(Table())
	}
}
