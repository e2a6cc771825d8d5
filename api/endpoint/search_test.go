package endpoint_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"resawd/api/endpoint"
)

// TestSearchWithoutAQueue: without a service, a search whose context ends returns what
// it has.
func TestSearchWithoutAQueue(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	var s endpoint.Search
	err := s.Run(ctx, time.Minute, func(within context.Context) error {
		stop()
		<-within.Done()
		return nil
	})
	if err != nil {
		t.Errorf("stopped by hand: %v", err)
	}
	broken := errors.New("broken")
	if err := s.Run(t.Context(), time.Minute, func(context.Context) error { return broken }); !errors.Is(err, broken) {
		t.Errorf("a search that fails: %v", err)
	}
}
