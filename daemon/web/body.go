package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
)

// maxBody bounds what a request may carry, bytes.
const maxBody = 8 << 10

// readJSON reads the one object of the body into in, or has answered why not.
// Another site's form cannot send this type of content without being asked.
func readJSON(w http.ResponseWriter, r *http.Request, in any) bool {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		writeError(w, http.StatusUnsupportedMediaType, "send JSON, with Content-Type: application/json")
		return false
	}
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, maxBody))
	d.DisallowUnknownFields()
	err := d.Decode(in)
	if err == nil {
		if _, more := d.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("one JSON object is wanted, and more came")
		}
	}
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		writeError(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("the body is longer than %d bytes", maxBody))
	case err != nil:
		writeError(w, http.StatusBadRequest, "read JSON body: "+err.Error())
	default:
		signAs(r.Context(), in)
	}
	return err == nil
}
