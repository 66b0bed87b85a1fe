package panel

// squareRows is how many judges make a design of n glasses complete: a square of
// n rows where n is even, two where it is odd.
func squareRows(n int) int {
	if n%2 == 0 {
		return n
	}
	return 2 * n
}

// williamsOrders gives judges orders of n glasses from as many designs as are
// needed, each with its glasses named anew by draw. The last is begun with rows
// of one square by draw, so that no glass stands twice at a place before it must.
func williamsOrders(n, judges int, d *drawer) [][]int {
	var orders [][]int
	for len(orders) < judges {
		names := d.permutation(n)
		for _, square := range williamsSquares(n) {
			shuffle(d, square)
			orders = append(orders, relabelled(square, names)...)
		}
	}
	return orders[:judges]
}

// williamsSquares are Williams' design: the first row 0, n-1, 1, n-2, 2 ..., whose
// neighbours differ (modulo n) by each number once where n is even, and the rows
// that follow from it by adding 1, 2 ... n-1. Where n is odd the differences d and
// n-d are uneven between them, and the same square read backwards makes up for it.
func williamsSquares(n int) [][][]int {
	first := make([]int, n)
	for p := range first {
		if first[p] = p / 2; p%2 == 1 {
			first[p] = n - 1 - p/2
		}
	}
	square, mirrored := make([][]int, n), make([][]int, n)
	for r := range square {
		square[r], mirrored[r] = make([]int, n), make([]int, n)
		for p, g := range first {
			square[r][p] = (g + r) % n
			mirrored[r][n-1-p] = (g + r) % n
		}
	}
	if n%2 == 0 {
		return [][][]int{square}
	}
	return [][][]int{square, mirrored}
}
