package record

import (
	"encoding/hex"
	"testing"

	"golang.org/x/mod/sumdb/tlog"
)

// vectors are the leaves and roots with which implementations of RFC 6962 are
// commonly tested (transparency-dev/merkle, testonly/constants.go).
func vectors(t *testing.T) (leaves [][]byte, roots []string) {
	t.Helper()
	for _, leaf := range []string{"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"} {
		leaves = append(leaves, must(hex.DecodeString(leaf)))
	}
	return leaves, []string{
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
}

func TestTheEdgeKnowsTheRootsOfRFC6962(t *testing.T) {
	leaves, roots := vectors(t)
	var e edge
	stored := int64(0)
	for i, want := range roots {
		if root, err := e.root(); err != nil || hex.EncodeToString(root[:]) != want {
			t.Errorf("root over %d leaves is %x, %v; want %s", i, root, err, want)
		}
		if i == len(leaves) {
			break
		}
		hashes, err := e.add(leaves[i])
		if err != nil {
			t.Fatal(err)
		}
		stored += int64(len(hashes))
		if want := tlog.StoredHashCount(e.size); stored != want {
			t.Errorf("%d hashes over %d leaves, want %d", stored, e.size, want)
		}
	}
}

// An edge is copied before a commit and thrown away with it if it fails.
func TestACopyOfAnEdgeIsAnEdgeOfItsOwn(t *testing.T) {
	leaves, roots := vectors(t)
	var e edge
	for _, leaf := range leaves[:3] {
		if _, err := e.add(leaf); err != nil {
			t.Fatal(err)
		}
	}
	other := e
	if _, err := other.add([]byte("never written")); err != nil {
		t.Fatal(err)
	}
	if root, err := e.root(); err != nil || hex.EncodeToString(root[:]) != roots[3] {
		t.Errorf("root is %x, %v", root, err)
	}
	if _, err := e.ReadHashes([]int64{tlog.StoredHashIndex(0, 0)}); err == nil {
		t.Error("a hash behind the edge was given")
	}
}
