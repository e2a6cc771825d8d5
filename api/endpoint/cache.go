package endpoint

import (
	"reflect"
	"sync"
)

// cache keeps what was compiled for each type.
type cache[T any] struct{ byType sync.Map }

// of returns what a type compiles to. Two callers at once may both compile it.
func (c *cache[T]) of(t reflect.Type, compile func(reflect.Type) T) T {
	if kept, ok := c.byType.Load(t); ok {
		return kept.(T) //nolint:forcetypeassert // nothing else is stored
	}
	made := compile(t)
	c.byType.Store(t, made)
	return made
}
