package judge

import (
	"os"
	"strconv"
	"sync"
	"testing"
	"time"
)

func TestTable(t *testing.T) {
	n := 24
	if v, err := strconv.Atoi(os.Getenv("RIGS")); err == nil {
		n = v
	}
	exact := os.Getenv("EXACT") != ""
	var total Score
	var mu sync.Mutex
	var wg sync.WaitGroup
	seeds := make(chan uint64)
	for range 2 {
		wg.Go(func() {
			for seed := range seeds {
				for _, k := range []Kind{Forgotten, Tended, Unentered, Misled} {
					c, err := Rig{Seed: seed, Exact: exact, Every: 2 * time.Second}.Course(k)
					if err != nil {
						t.Error(err)
						continue
					}
					var s Score
					s.Add(c)
					mu.Lock()
					total.Merge(&s)
					mu.Unlock()
				}
			}
		})
	}
	for i := range n {
		seeds <- uint64(i + 1)
	}
	close(seeds)
	wg.Wait()
	total.Write(os.Stdout)
}
