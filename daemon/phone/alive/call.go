package alive

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"

	"bainward/daemon/phone/notice"
)

// caller returns what makes one call. Its errors hold neither the address nor
// parts of it.
func caller(o Options) func(context.Context) error {
	client := o.client()
	return func(ctx context.Context) error {
		err := ask(ctx, client, o.Method, o.URL.Reveal())
		if errors.Is(err, context.DeadlineExceeded) {
			return errors.New("call the heartbeat's address: no answer in time")
		}
		// The client's own error repeats the address, quoted in its own way, so that
		// it could not be found and cut out.
		if u, ok := errors.AsType[*url.Error](err); ok {
			err = u.Err
		}
		if err != nil {
			return fmt.Errorf("call the heartbeat's address: %w", notice.Redact(err, o.URL))
		}
		return nil
	}
}

func ask(ctx context.Context, client *http.Client, method, address string) error {
	r, err := http.NewRequestWithContext(ctx, method, address, http.NoBody)
	if err != nil {
		return err
	}
	r.Header.Set("User-Agent", "bainward")
	r.Close = true // a minute apart, an open connection would only be one more thing to go stale
	answer, err := client.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode < 200 || answer.StatusCode > 299 {
		return fmt.Errorf("it answered %d %s", answer.StatusCode, http.StatusText(answer.StatusCode))
	}
	return nil
}
