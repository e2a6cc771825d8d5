package colgen

// run covers the demand kind by kind with the most valuable patterns.
func (s *search) run() error {
	left := append([]int(nil), s.p.Demand...)
	value := make([]int64, len(left))
	for i := range value {
		value[i] = 1
	}
	var plan []Use
	used := make([]int, len(s.p.Kinds))
	for remaining(left) > 0 {
		floor := make([]int64, len(s.p.Kinds))
		for k := range floor {
			if q := s.p.Kinds[k].Quantity; q != Unlimited && used[k] >= q {
				floor[k] = NotWanted
			}
		}
		answers, work, err := s.p.Pricer.Price(s.ctx, Query{Value: value, Limit: left, Floor: floor, Many: 1, Exact: true})
		s.stats.Work += work
		if err != nil {
			return nil
		}
		pick, rate := -1, 0.0
		for k, a := range answers {
			if len(a.Patterns) == 0 {
				continue
			}
			if r := float64(a.Bound) / float64(1+s.p.Kinds[k].Cost); r > rate {
				pick, rate = k, r
			}
		}
		if pick < 0 {
			return nil
		}
		used[pick]++
		plan = append(plan, Use{Pattern{pick, answers[pick].Patterns[0]}, 1})
		for _, pc := range answers[pick].Patterns[0] {
			left[pc.Item] -= pc.Count
		}
	}
	return s.offer(plan)
}

func remaining(left []int) int {
	sum := 0
	for _, n := range left {
		sum += max(n, 0)
	}
	return sum
}
