package web

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"testing"
	"time"

	"bainward/daemon/people"
	"bainward/dashboards"
	"bainward/rules/batch/ledger"
)

// desk keeps signatures in memory, beside the books.
type desk struct {
	*keeper
	signed []dashboards.Signature
	err    error
}

func (d *desk) Sign(_ context.Context, _ string, s dashboards.Signature) error {
	if d.err == nil {
		s.At = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
		d.signed = append(d.signed, s)
	}
	return d.err
}

func (d *desk) Signatures(context.Context, string) ([]dashboards.Signature, error) {
	return d.signed, nil
}

const signaturePath = "/api/batch/2026-03-01-north-1/signature"

func newDesk(t *testing.T) (*desk, *doorHouse, http.Handler) {
	t.Helper()
	d := &desk{keeper: newKeeper(t)}
	d.put(ledger.Closed{Batch: "2026-03-01-north-1", Verdict: "held"})
	h := newDoorHouse(t)
	return d, h, h.handler(t, func(o *Options) { o.Doer = d })
}

// signs sends a signature as a role and returns the answer.
func signs(h *doorHouse, all http.Handler, role people.Role, body string) (int, string) {
	r := h.as(role, request(http.MethodPost, signaturePath, body))
	r.Header.Set("Content-Type", "application/json")
	w := served(all, r)
	return w.Code, w.Body.String()
}

// An auditor signs with the password, once more; the name is that of the session,
// whatever the form says, and stands on the page with what it is bound to.
func TestAnAuditorSignsWithThePasswordOnceMore(t *testing.T) {
	d, h, all := newDesk(t)
	code, body := signs(h, all, people.Auditor, `{"meaning":"released","remark":" for the shelf ","password":"`+doorWords+`","who":"Sorrel"}`)
	if code != http.StatusOK || !strings.Contains(body, "signed: released, Rowan") {
		t.Fatalf("signing gives %d %s", code, body)
	}
	if len(d.signed) != 1 || d.signed[0].By != "Rowan" || d.signed[0].Role != "auditor" || d.signed[0].Remark != "for the shelf" {
		t.Fatalf("signed: %+v", d.signed)
	}
	d.signed[0].Size, d.signed[0].Root, d.signed[0].After = 7, "CsUYapGGPo4d", 2
	page := served(all, h.as(people.Viewer, request(http.MethodGet, "/batch/2026-03-01-north-1", ""))).Body.String()
	for _, want := range []string{"released", "Rowan", "checkpoint of 7 leaves", "CsUYapGGPo4d", "2 entries about this batch came after it", "An auditor or a keeper may sign."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(page, "Sign as") {
		t.Error("somebody who may not sign is asked to")
	}
	if page := served(all, h.as(people.Auditor, request(http.MethodGet, "/batch/2026-03-01-north-1", ""))).Body.String(); !strings.Contains(page, `type="password"`) {
		t.Error("the auditor is not asked for the password")
	}
}

// Nothing is signed without the password, by a role that may not, by a command, or
// without a meaning; guessing is counted as at the door.
func TestWhatIsNotSigned(t *testing.T) {
	d, h, all := newDesk(t)
	for name, c := range map[string]struct {
		role people.Role
		body string
		code int
		want string
	}{
		"wrong password": {people.Auditor, `{"meaning":"reviewed","password":"not the words"}`, 403, "the password is wrong"},
		"no password":    {people.Keeper, `{"meaning":"reviewed"}`, 403, "the password is wrong"},
		"a maker":        {people.Maker, `{"meaning":"reviewed","password":"` + doorWords + `"}`, 403, "may not"},
		"a viewer":       {people.Viewer, `{"meaning":"reviewed","password":"` + doorWords + `"}`, 403, "may not"},
		"no meaning":     {people.Auditor, `{"password":"` + doorWords + `"}`, 400, "needs a meaning"},
		"odd meaning":    {people.Auditor, `{"meaning":"seen","password":"` + doorWords + `"}`, 400, "needs a meaning"},
	} {
		if code, body := signs(h, all, c.role, c.body); code != c.code || !strings.Contains(body, c.want) {
			t.Errorf("%s: %d %s, want %d %q", name, code, body, c.code, c.want)
		}
	}
	token, err := people.CommandToken(h.dir)
	if err != nil {
		t.Fatal(err)
	}
	r := request(http.MethodPost, signaturePath, `{"meaning":"reviewed","password":"`+doorWords+`"}`)
	r.RemoteAddr = "127.0.0.1:4711"
	r.Header.Set("Authorization", "Bearer "+token)
	r.Header.Set("Content-Type", "application/json")
	if w := served(all, r); w.Code != http.StatusForbidden {
		t.Errorf("a command signs: %d %s", w.Code, w.Body)
	}
	code := 0
	for range 12 {
		if code, _ = signs(h, all, people.Auditor, `{"meaning":"reviewed","password":"not the words"}`); code == http.StatusTooManyRequests {
			break
		}
	}
	if code != http.StatusTooManyRequests {
		t.Errorf("twelve wrong passwords in a row give %d", code)
	}
	if len(d.signed) != 0 {
		t.Errorf("signed: %+v", d.signed)
	}
}

// What the record refuses is told as it is.
func TestARefusedSignatureSaysWhy(t *testing.T) {
	d, h, all := newDesk(t)
	d.err = errors.New("batch 2026-03-01-north-1 is still open")
	if code, body := signs(h, all, people.Keeper, `{"meaning":"reviewed","password":"`+doorWords+`"}`); code != http.StatusConflict || !strings.Contains(body, "still open") {
		t.Errorf("got %d %s", code, body)
	}
}

// Where nobody signs in there is no signing, and the page says what it takes.
func TestWithoutPeopleNobodySigns(t *testing.T) {
	d := &desk{keeper: newKeeper(t)}
	d.put(ledger.Closed{Batch: "2026-03-01-north-1", Verdict: "held"})
	all := newHandler(t, newFakeView(holding("north")), d)
	if w := served(all, request(http.MethodGet, "/batch/2026-03-01-north-1", "")); !strings.Contains(w.Body.String(), "name people in the site file") {
		t.Errorf("the page says nothing of it: %d", w.Code)
	}
	r := request(http.MethodPost, signaturePath, `{"meaning":"reviewed"}`)
	if w := served(all, r); w.Code != http.StatusNotFound {
		t.Errorf("signing gives %d", w.Code)
	}
}
