package uses

import (
	"testing"
	"toy"
)

func TestLast(t *testing.T) {
	if Last() != "c,7" || toy.Clamp(91) != 90 || toy.Clamp(90.5) != 90 {
		t.Error("wrong")
	}
}
