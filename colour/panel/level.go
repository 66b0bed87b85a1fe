package panel

// level exchanges glasses within orders until each glass stands at any two places
// equally often, or once more at one of them. It is always possible: for two
// places, let an arrow go for each order from the glass at one to the glass at the
// other. From a glass with more arrows out than in, going on along arrows ends at
// one with more in than out; turning that way around brings both closer to even.
func level(glasses int, orders [][]int) {
	for changed := true; changed; {
		changed = false
		for p := range orders[0] {
			for q := range p {
				for levelOnce(glasses, orders, p, q) {
					changed = true
				}
			}
		}
	}
}

// levelOnce turns one way around, from a glass that stands at p two times or more
// often than at q, or the other way; it says whether there was one.
func levelOnce(glasses int, orders [][]int, p, q int) bool {
	more := make([]int, glasses)
	for _, o := range orders {
		more[o[p]]++
		more[o[q]]--
	}
	for g, n := range more {
		switch {
		case n >= 2:
			turn(orders, g, more, p, q)
			return true
		case n <= -2:
			for i := range more {
				more[i] = -more[i]
			}
			turn(orders, g, more, q, p)
			return true
		}
	}
	return false
}

// turn finds the shortest way from start to a glass that stands more often at to
// than at from, and exchanges the two places in each order on it.
func turn(orders [][]int, start int, more []int, from, to int) {
	cameBy := make([]int, len(more)) // the order by which a glass was reached
	for g := range cameBy {
		cameBy[g] = -1
	}
	cameBy[start] = len(orders)
	for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		if more[at] < 0 {
			for at != start {
				o := orders[cameBy[at]]
				at = o[from]
				o[from], o[to] = o[to], o[from]
			}
			return
		}
		for j, o := range orders {
			if o[from] == at && cameBy[o[to]] < 0 {
				cameBy[o[to]] = j
				queue = append(queue, o[to])
			}
		}
	}
}
