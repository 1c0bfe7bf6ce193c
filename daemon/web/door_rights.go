package web

import (
	"net/http"
	"slices"
	"strings"

	"bainward/daemon/people"
)

// rights says what each address asks for. One that is missing asks for
// people.Keep, and a test fails until it stands here.
var rights = map[string]people.Right{
	// What must be reached before anybody is in. A link in a message is a leave of
	// its own: it answers one alarm, once, for half an hour.
	"GET /door":            people.Anybody,
	"POST /door":           people.Anybody,
	"POST /door/out":       people.Anybody,
	"GET /door/me":         people.Anybody,
	"GET /a/{token}":       people.Anybody,
	"POST /a/{token}":      people.Anybody,
	"GET /api/a/{token}":   people.Anybody,
	"POST /api/a/{token}":  people.Anybody,
	"GET /static/":         people.Anybody,
	"GET /app.webmanifest": people.Anybody,
	"GET /wake.js":         people.Anybody,

	// Looking.
	"/":                              people.See, // nothing is there, and strangers need not know
	"GET /{$}":                       people.See,
	"GET /bath/{bath}":               people.See,
	"GET /bath/{bath}/pan.svg":       people.See,
	"GET /bath/{bath}/trace.svg":     people.See,
	"GET /bath/{bath}/trace.png":     people.See,
	"GET /bath/{bath}/log":           people.See,
	"GET /live":                      people.See,
	"GET /api":                       people.See,
	"GET /api/baths":                 people.See,
	"GET /api/bath/{bath}":           people.See,
	"GET /api/bath/{bath}/log":       people.See,
	"GET /bath/{bath}/guide":         people.See,
	"GET /api/bath/{bath}/guide":     people.See,
	"GET /alarms":                    people.See,
	"GET /api/alarms":                people.See,
	"GET /metrics":                   people.See, // or its own token, or this machine: mayScrape
	"GET /phones":                    people.See,
	"GET /api/phones":                people.See,
	"GET /push/key":                  people.See,
	"GET /plan":                      people.See,
	"GET /api/plan":                  people.See,
	"GET /recipes":                   people.See,
	"GET /api/recipes":               people.See,
	"GET /api/recipe/{name}":         people.See,
	"GET /batches":                   people.See,
	"GET /batch/{number}":            people.See,
	"GET /shelf":                     people.See,
	"GET /recall":                    people.See,
	"GET /api/batches":               people.See,
	"GET /api/batch/{number}":        people.See,
	"GET /api/shelf":                 people.See,
	"GET /api/lot/{lot...}":          people.See,
	"GET /api/recall":                people.See,
	"GET /batch/{number}/sheet.pdf":  people.See,
	"GET /batch/{number}/labels.pdf": people.See,

	"GET /probes":     people.See,
	"GET /probes/now": people.See,
	"GET /api/probes": people.See,

	// What was done. Choosing a recipe for the next batch is a deed, and so is making,
	// changing or retiring one of the record; those of the site file are changed there.
	"POST /api/bath/{bath}/event":        people.Enter,
	"POST /api/bath/{bath}/void":         people.Enter,
	"POST /api/bath/{bath}/alarm":        people.Enter,
	"POST /api/bath/{bath}/recipe":       people.Enter,
	"GET /recipe":                        people.Enter, // a form for what only they may send
	"POST /recipe":                       people.Enter,
	"POST /recipe/retired":               people.Enter,
	"POST /recipe/chosen":                people.Enter,
	"POST /api/recipes":                  people.Enter,
	"POST /api/recipe/{name}/retired":    people.Enter,
	"POST /api/bath/{bath}/checklist":    people.Enter,
	"POST /api/batch/{number}/material":  people.Enter,
	"POST /api/batch/{number}/weighing":  people.Enter,
	"POST /api/batch/{number}/bottles":   people.Enter,
	"POST /api/batch/{number}/moved":     people.Enter,
	"POST /api/batch/{number}/given":     people.Enter,
	"POST /api/batch/{number}/smelled":   people.Enter,
	"POST /api/batch/{number}/deviation": people.Enter,
	"POST /api/goods/void":               people.Enter,
	"POST /phones/test":                  people.Enter, // before lighting, so whoever lights
	"POST /push/subscriptions":           people.Enter,
	"PUT /push/subscriptions":            people.Enter,
	"DELETE /push/subscriptions":         people.Enter,

	// Signing.
	"POST /api/batch/{number}/signature": people.Sign,

	// How the site is watched.
	"POST /api/bath/{bath}/heat":            people.Keep,
	"POST /api/probe/{address}/calibration": people.Keep,
}

// Changing lists the routes that change something, by their method (RFC 9110, 9.2.1:
// GET and HEAD change nothing). For each of them the record must say who did it, and a
// test of package app asks.
func Changing() []string {
	var all []string
	for route := range rights {
		if method, _, both := strings.Cut(route, " "); both && method != http.MethodGet {
			all = append(all, route)
		}
	}
	slices.Sort(all)
	return all
}
