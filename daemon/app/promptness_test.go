package app

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/daemon/phone/webhook"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// stopwatch is a channel that tells the test when a send begins.
type stopwatch struct {
	name  string
	in    notice.Channel // nil: it arrives at once
	began chan<- start
}

type start struct {
	notice.Notice
	at time.Time
}

func (s *stopwatch) Name() string { return s.name }

func (s *stopwatch) Send(ctx context.Context, n notice.Notice) (string, error) {
	s.began <- start{n, time.Now()}
	if s.in != nil {
		return s.in.Send(ctx, n)
	}
	return "taken", nil
}

// dead is a channel that takes a notice and never comes back, whatever its
// context says.
type dead struct{ end <-chan struct{} }

func (dead) Name() string { return "dead" }

func (d dead) Send(context.Context, notice.Notice) (string, error) {
	<-d.end
	return "", context.Canceled
}
