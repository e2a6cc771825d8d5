package endless

import "testing"

func TestOdd(t *testing.T) {
	if Odd(5) != 5 {
		t.Error("wrong")
	}
}
