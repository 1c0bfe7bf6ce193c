package webhook

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"bainward/daemon/phone/notice"
)

// Settings say where documents go. They are what the site file has.
type Settings struct {
	Name    string
	URL     notice.Secret // http or https
	Key     notice.Secret // of the signature, at least shortestKey bytes
	Picture bool          // put the notice's picture into the document
}

// Channel posts to one address. It is safe for concurrent use.
type Channel struct {
	name    string
	url     notice.Secret
	key     notice.Secret
	picture bool

	client *http.Client
	now    func() time.Time
}

// shortestKey is in bytes. RFC 2104 3 discourages keys shorter than the hash's 32
// bytes; half of that is still far beyond guessing.
const shortestKey = 16

// New makes a channel. It asks nobody over the network. Its errors hold neither
// address nor key.
func New(s Settings) (*Channel, error) {
	fail := func(what string) (*Channel, error) {
		return nil, fmt.Errorf("webhook channel %q: %s", s.Name, what)
	}
	if !s.URL.Set() {
		return fail("it has no address: put it into the file of url_file or the variable of url_env")
	}
	at, err := url.Parse(s.URL.Reveal())
	if err != nil || at.Hostname() == "" || at.Scheme != "http" && at.Scheme != "https" { // the cause quotes the address
		return fail("its address is no URL like https://host.example/path: copy it again, without spaces or line breaks inside")
	}
	if n := len(s.Key.Reveal()); n < shortestKey {
		return fail(fmt.Sprintf("its key has %d characters and needs %d: make one with \"openssl rand -hex 32\" and name it in key_file or key_env", n, shortestKey))
	}
	return &Channel{name: s.Name, url: s.URL, key: s.Key, picture: s.Picture, client: newClient(), now: time.Now}, nil
}

// newClient keeps no connection between two notices: hours later it would be dead,
// and a POST that finds it so is not safely repeated.
func newClient() *http.Client {
	return &http.Client{
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{
			Proxy:                  http.ProxyFromEnvironment,
			DialContext:            (&net.Dialer{}).DialContext,
			DisableKeepAlives:      true,
			ForceAttemptHTTP2:      true,
			MaxResponseHeaderBytes: 64 << 10,
		},
	}
}

// Name is the channel's name in the site file.
func (c *Channel) Name() string { return c.name }

// longest is how long one delivery may take, even if nobody set an end.
const longest = time.Minute

// Send posts the document and returns the status of the answer.
func (c *Channel) Send(ctx context.Context, n notice.Notice) (answer string, err error) {
	ctx, cancel := context.WithTimeout(ctx, longest)
	defer cancel()
	var png []byte
	if c.picture {
		png = n.Draw(ctx)
	}
	req, err := c.request(ctx, n, png)
	if err != nil {
		return "", err
	}
	res, err := c.client.Do(req)
	if err != nil {
		return "", &notice.Failure{Err: fmt.Errorf("post to webhook: %w", trouble(ctx, err))}
	}
	_ = res.Body.Close() // unread: an answer without end costs nothing
	return c.verdict(res)
}

var errRequest = errors.New("write webhook request: the notice or the address does not fit into one")

func (c *Channel) request(ctx context.Context, n notice.Notice, png []byte) (*http.Request, error) {
	body, err := document(n, png)
	if err != nil {
		return nil, fmt.Errorf("write webhook document: %w", err)
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, c.url.Reveal(), bytes.NewReader(body))
	if err != nil {
		return nil, &notice.Failure{Err: errRequest, Final: true} // the cause quotes the address
	}
	stamp := strconv.FormatInt(c.now().Unix(), 10)
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("User-Agent", "bainward")
	req.Header.Set(headerNotice, headerSafe(n.ID))
	req.Header.Set(headerTimestamp, stamp)
	req.Header.Set(headerSignature, sign([]byte(c.key.Reveal()), stamp, body))
	return req, nil
}
