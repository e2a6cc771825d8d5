package plan

import "container/heap"

// queue holds what has a key, the least key first.
type queue[T interface{ key() int64 }] struct{ list keyed[T] }

// push adds an element, pop takes the first one out.
func (q *queue[T]) push(x T) { heap.Push(&q.list, x) }
func (q *queue[T]) pop() T   { return heap.Pop(&q.list).(T) } //nolint:forcetypeassert // it holds nothing else

// first returns the first element, and refresh finds its place when its key has
// changed.
func (q *queue[T]) first() T { return q.list[0] }
func (q *queue[T]) refresh() { heap.Fix(&q.list, 0) }

// len returns how many elements there are.
func (q *queue[T]) len() int { return len(q.list) }

// keyed implements heap.Interface.
type keyed[T interface{ key() int64 }] []T

func (h keyed[T]) Len() int           { return len(h) }
func (h keyed[T]) Less(i, j int) bool { return h[i].key() < h[j].key() }
func (h keyed[T]) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *keyed[T]) Push(x any)        { *h = append(*h, x.(T)) } //nolint:forcetypeassert // as above
func (h *keyed[T]) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}
