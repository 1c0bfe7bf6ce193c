package verify

import (
	"encoding/hex"
	"testing"

	"golang.org/x/mod/sumdb/tlog"
)

// The eight leaves, their hashes and the roots of the trees over the first n of
// them that the reference implementation of RFC 6962 is tested with
// (transparency-dev/merkle, testonly/constants.go).
var (
	rfcLeaves = []string{"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"}
	rfcHashes = []string{
		1: "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
		2: "0298d122906dcfc10892cb53a73992fc5b9f493ea4c9badb27b791b4127a7fe7",
		3: "07506a85fd9dd2f120eb694f86011e5bb4662e5c415a62917033d4a9624487e7",
		4: "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
		5: "4271a26be0d8a84f0bd54c8c302e7cb3a3b5d1fa6780a40bcce2873477dab658",
		6: "b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f",
		7: "46f6ffadd3d06a09ff3c5860d2755c8b9819db7df44251788c7d8e3180de8eb1",
	}
	rfcRoots = []string{
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
		"6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
		"fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
		"aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
		"d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
		"4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
		"76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
		"ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
		"5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
	}
)

// keepAll lets a tree keep what follows.
func keepAll(_ int, _ int64, p peak) hash { return p.lines }

// Leaf hashes and roots are those that RFC 6962's own implementation is tested with.
func TestLeavesAndRootsAreThoseOfRFC6962(t *testing.T) {
	var grown tree
	if got := grown.roots().lines; hex.EncodeToString(got[:]) != rfcRoots[0] {
		t.Errorf("no leaves: root %x, want %s", got, rfcRoots[0])
	}
	for i, text := range rfcLeaves {
		h, _ := leafHash(must(hex.DecodeString(text)), nil)
		if want := rfcHashes[i]; want != "" && hex.EncodeToString(h[:]) != want {
			t.Errorf("leaf %d: hash %x, want %s", i, h, want)
		}
		grown.grow(peak{h, h}, keepAll)
		if got := grown.roots().lines; hex.EncodeToString(got[:]) != rfcRoots[i+1] {
			t.Errorf("%d leaves: root %x, want %s", i+1, got, rfcRoots[i+1])
		}
	}
}

// The hashes come in the order in which golang.org/x/mod/sumdb/tlog numbers them,
// which is the order of the table hash; of every fourth level the table keeps them.
func TestHashesComeInTheOrderOfTheirNumbers(t *testing.T) {
	var grown tree
	id, kept := int64(0), int64(0)
	for n := range int64(1000) {
		if want := tlog.StoredHashIndex(0, n); id != want {
			t.Fatalf("leaf %d is hash %d, want %d", n, id, want)
		}
		id, kept = id+1, kept+1
		grown.grow(peak{}, func(level int, n int64, _ peak) hash {
			if want := tlog.StoredHashIndex(level, n); id != want {
				t.Fatalf("node %d of level %d is hash %d, want %d", n, level, id, want)
			}
			if id++; level == 4 || level == 8 {
				kept++
			}
			return hash{}
		})
		if want := tlog.StoredHashCount(n + 1); keptFor(n+1) != kept || id != want {
			t.Fatalf("%d leaves have %d hashes, want %d; %d of them are kept, counted %d", n+1, id, want, keptFor(n+1), kept)
		}
	}
}
