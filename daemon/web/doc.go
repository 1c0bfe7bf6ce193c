// Package web serves the live page and its JSON interface over a read-only
// View of the baths; what changes something goes through a Doer.
//
// Start with New. pages.go answers browsers, api.go programs that read,
// deeds.go both when they change something, live.go the stream that keeps open
// pages in step. API.md describes the interface and is served at /api.
//
// The package holds no rules and no state of a batch: it neither decides what
// is an alarm nor what may be pressed. It knows no users and has no password of
// its own: it is meant for a network whose people may all press the buttons.
// Requests that another site's page makes in somebody's browser are refused.
package web
