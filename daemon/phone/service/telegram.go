package service

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"bainward/daemon/phone/notice"

	"github.com/nicholas-fedor/shoutrrr/pkg/services/chat/telegram"
)

// bot sends to chats of Telegram. The library's own sender says "sent" when the
// network is down or a proxy answers with a page (GetErrorResponse makes no error
// of a body that is not JSON), so of the library only the address is used.
type bot struct{ config telegram.Config }

// newBot has the defaults of the library's address.
func newBot() *bot { return &bot{telegram.Config{Preview: true, Notification: true}} }

// answered is an HTTP answer that is no success.
type answered struct{ status int }

func (a *answered) Error() string { return fmt.Sprintf("HTTP %d", a.status) }

// message is what the method sendMessage of the Telegram Bot API takes
// (https://core.telegram.org/bots/api#sendmessage), without a parse mode: a
// notice is plain text, and a lone "_" would make marked-up text invalid.
type message struct {
	Chat      string `json:"chat_id"`
	Thread    int64  `json:"message_thread_id,omitempty"`
	Text      string `json:"text"`
	Silent    bool   `json:"disable_notification"`
	NoPreview bool   `json:"disable_web_page_preview"`
}

func (b *bot) send(ctx context.Context, n notice.Notice) error {
	for _, to := range b.config.Chats {
		chat, thread, _ := strings.Cut(to, ":")
		m := message{
			Chat: chat, Text: text(n, true),
			Silent: n.Quiet || !b.config.Notification, NoPreview: !b.config.Preview,
		}
		if thread != "" {
			var err error
			if m.Thread, err = strconv.ParseInt(thread, 10, 64); err != nil {
				return fmt.Errorf("read the thread of a chat: %w", err)
			}
		}
		if err := b.post(ctx, m); err != nil {
			return err
		}
	}
	return nil
}

func (b *bot) post(ctx context.Context, m message) error {
	body, err := json.Marshal(m)
	if err != nil {
		return err
	}
	to := "https://api.telegram.org/bot" + b.config.Token + "/sendMessage"
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, to, bytes.NewReader(body))
	if err != nil {
		return err
	}
	req.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer func() { _ = res.Body.Close() }()
	if res.StatusCode != http.StatusOK {
		return &answered{res.StatusCode}
	}
	return nil
}
