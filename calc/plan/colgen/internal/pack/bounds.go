package pack

import (
	"math/bits"
	"sort"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
	"resawd/calc/plan/colgen/internal/relax"
)

// Sizes is a problem of one kind of board in one dimension: sizes in falling
// order, each with a count.
type Sizes struct {
	capacity int64
	item     []int
	size     []int64
	Count    []int
}

// stacked returns the problem as a stack, or false when it is none: several
// kinds, limited boards.
func stacked(s *relax.State) (Sizes, bool) {
	if len(s.Kinds) != 1 || s.Kinds[0].Quantity != colgen.Unlimited || s.Kinds[0].Cost == 0 {
		return Sizes{}, false
	}
	return Stack(s.Sack, s.P.Demand)
}

// Stack lists a demand, or returns false when a piece fits no board.
func Stack(n *knapsack.Knapsack, demand []int) (Sizes, bool) {
	st := Sizes{capacity: n.Capacity[0]}
	for _, i := range n.Order {
		if i >= len(demand) || demand[i] == 0 {
			continue
		}
		if n.Size[i] > st.capacity {
			return Sizes{}, false
		}
		st.item = append(st.item, i)
		st.size = append(st.size, n.Size[i])
		st.Count = append(st.Count, demand[i])
	}
	return st, true
}

// bound is a number of boards that is needed in any case: the best of the
// bounds by material, by halves and by dual feasible functions.
func (t Sizes) bound() int64 {
	best := max(t.material(), t.halves())
	for k := int64(1); k <= dualFunctions; k++ {
		best = max(best, t.rounded(k))
	}
	return best
}

// dualFunctions is how many dual feasible functions are tried.
const dualFunctions = 24

// boundCapacity is the largest capacity for which products of bound stay within 64 bits.
const boundCapacity = int64(1) << 30

// material is the sum of sizes over the capacity, rounded up.
func (t Sizes) material() int64 {
	boards, left := int64(0), int64(0) // left: of the material, less than a board
	for x, w := range t.size {
		high, low := bits.Mul64(uint64(w), uint64(t.Count[x]))
		whole, rest := bits.Div64(high, low, uint64(t.capacity))
		boards, left = boards+int64(whole), left+int64(rest)
		boards, left = boards+left/t.capacity, left%t.capacity
	}
	if left > 0 {
		boards++
	}
	return boards
}

// halves is the bound L2: for each limit a up to half a board, items larger
// than the board less a stand alone, items above half share no board, and
// items from a to half fill what those leave.
//
// Source: Martello and Toth, Discrete Applied Mathematics 28 (1990) 59-70.
func (t Sizes) halves() int64 {
	if t.capacity > boundCapacity {
		return 0
	}
	half := sort.Search(len(t.size), func(x int) bool { return 2*t.size[x] <= t.capacity })
	count, sum := t.prefix()
	best := count[half]
	for x := half; x < len(t.size); x++ {
		a := t.size[x]
		alone := sort.Search(half, func(y int) bool { return t.size[y] <= t.capacity-a })
		shared := count[half] - count[alone]
		free := shared*t.capacity - (sum[half] - sum[alone])
		over := sum[x+1] - sum[half] - free
		best = max(best, count[half]+max(0, (over+t.capacity-1)/t.capacity))
	}
	return best
}

// prefix is the numbers and sums of the first sizes: none, one, two and so on.
func (t Sizes) prefix() (count, sum []int64) {
	count, sum = make([]int64, len(t.size)+1), make([]int64, len(t.size)+1)
	for x, w := range t.size {
		count[x+1] = count[x] + int64(t.Count[x])
		sum[x+1] = sum[x] + int64(t.Count[x])*w
	}
	return count, sum
}

// rounded is the bound of the dual feasible function that keeps x where (k+1)x
// is whole and otherwise takes floor((k+1)x)/k, x being size over capacity.
//
// Source: Fekete and Schepers, Mathematical Programming 91 (2001) 11-31, u(k).
func (t Sizes) rounded(k int64) int64 {
	if t.capacity > boundCapacity {
		return 0
	}
	whole, sizes := int64(0), int64(0) // in k-th parts of a board, and as sizes
	for x, w := range t.size {
		n := int64(t.Count[x])
		if (k+1)*w%t.capacity == 0 {
			sizes += n * w
		} else {
			whole += n * ((k + 1) * w / t.capacity)
		}
	}
	// whole/k + sizes/capacity, rounded up
	boards, rest := whole/k+sizes/t.capacity, (whole%k)*t.capacity+(sizes%t.capacity)*k
	return boards + (rest+k*t.capacity-1)/(k*t.capacity)
}
