package app

import (
	"fmt"
	"os"
	"testing"
)

// childOf names, in the environment of a test binary that another test started,
// what it is to do instead of testing.
const childOf = "BAINWARD_APP_TEST_CHILD"

func TestMain(m *testing.M) {
	switch os.Getenv(childOf) {
	case "":
		os.Exit(m.Run())
	case "watch":
		if err := watchForEver(os.Args[1]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	case "call":
		if err := callForEver(os.Args[1], os.Args[2], os.Args[3], os.Args[4]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}
