package layouts

import "container/heap"

// Queue holds what has a key, the least key first.
type Queue[T interface{ Key() int64 }] struct{ list keyed[T] }

// Push adds an element.
func (q *Queue[T]) Push(x T) { heap.Push(&q.list, x) }

// Pop takes the first element out.
func (q *Queue[T]) Pop() T { return heap.Pop(&q.list).(T) } //nolint:forcetypeassert // it holds nothing else

// First returns the first element.
func (q *Queue[T]) First() T { return q.list[0] }

// Refresh finds the place of the first element when its key has changed.
func (q *Queue[T]) Refresh() { heap.Fix(&q.list, 0) }

// Len returns how many elements there are.
func (q *Queue[T]) Len() int { return len(q.list) }

// keyed implements heap.Interface.
type keyed[T interface{ Key() int64 }] []T

func (h keyed[T]) Len() int           { return len(h) }
func (h keyed[T]) Less(i, j int) bool { return h[i].Key() < h[j].Key() }
func (h keyed[T]) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *keyed[T]) Push(x any)        { *h = append(*h, x.(T)) } //nolint:forcetypeassert // as above
func (h *keyed[T]) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}
