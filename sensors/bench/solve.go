package bench

// node is a lump of matter with one temperature.
type node uint8

const (
	floorRing node = iota // pan floor around the dish's footprint
	floorMid              // pan floor under the dish's footprint
	wall                  // pan wall
	water                 // liquid in the pan
	glassBase             // dish base
	glassSide             // dish wall, as far as the oil reaches
	oil                   // oil with the herb in it
	nodeCount
)

// network is one step of the heat balance: what each node can hold, what flows
// into it, and what joins it to others and to things of fixed temperature.
type network struct {
	holds [nodeCount]float64            // J/K
	gains [nodeCount]float64            // W
	joins [nodeCount][nodeCount]float64 // W/K, symmetric
	leaks [nodeCount]float64            // W/K to the room
}

// join adds a path of g W/K between two nodes.
func (n *network) join(a, b node, g float64) {
	n.joins[a][b] += g
	n.joins[b][a] += g
}

// advance returns the temperatures after dt seconds, by backward Euler: stable
// for any step, and what leaves one node arrives in another exactly.
func (n *network) advance(t [nodeCount]float64, roomC, dt float64) [nodeCount]float64 {
	var m [nodeCount][nodeCount]float64
	for i := range nodeCount {
		m[i][i] = n.holds[i]/dt + n.leaks[i]
		for j := range nodeCount {
			m[i][i] += n.joins[i][j]
			if i != j {
				m[i][j] = -n.joins[i][j]
			}
		}
		t[i] = n.holds[i]/dt*t[i] + n.gains[i] + n.leaks[i]*roomC
	}
	return solve(m, t)
}

// solve eliminates without pivoting: the matrix is diagonally dominant.
func solve(m [nodeCount][nodeCount]float64, b [nodeCount]float64) [nodeCount]float64 {
	for i := range nodeCount {
		for k := i + 1; k < nodeCount; k++ {
			if m[k][i] == 0 {
				continue
			}
			f := m[k][i] / m[i][i]
			for j := i + 1; j < nodeCount; j++ {
				m[k][j] -= f * m[i][j]
			}
			b[k] -= f * b[i]
		}
	}
	for i := nodeCount; i > 0; i-- {
		for j := i; j < nodeCount; j++ {
			b[i-1] -= m[i-1][j] * b[j]
		}
		b[i-1] /= m[i-1][i-1]
	}
	return b
}
