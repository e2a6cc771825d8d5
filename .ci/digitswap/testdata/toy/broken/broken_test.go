package broken

import "testing"

func TestOne(t *testing.T) { t.Error("always") }
