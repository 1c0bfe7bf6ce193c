package web

import (
	"net/http"
	"strings"

	"bainward/dashboards"
	"bainward/rules/batch/ledger"
)

// places lists the pages that the head of a page leads to. shown is the address
// of the page at hand.
func (s *server) places(shown string) []dashboards.Place {
	due, kept := 0, false
	if goods, ok := s.doer.(Goods); ok {
		kept = true
		goods.Books(func(l *ledger.Ledger, today ledger.Day) { due = l.Waiting(today) })
	}
	_, recipes := s.doer.(Recipes)
	return dashboards.Places(s.plans(), recipes, kept, due, shown)
}

// mayAsk lets the forms of a page that only ask come back to us. Those that change
// anything send JSON, which a form cannot.
func mayAsk(w http.ResponseWriter) {
	w.Header().Set("Content-Security-Policy", strings.Replace(policy, "form-action 'none'", "form-action 'self'", 1))
}
