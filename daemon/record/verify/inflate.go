package verify

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
)

// inflater undoes the zlib (RFC 1950) in which the line of a block is kept. It is
// used again and again: setting one up costs more than most blocks do.
type inflater struct {
	in  bytes.Reader
	z   io.ReadCloser
	out []byte
}

// line returns the line in data, which must be of size bytes. It is good until
// the next call.
func (f *inflater) line(data []byte, size int64) ([]byte, error) {
	return f.inflate(data, size, maxBlock)
}

// inflate returns what is packed in data, at most so many bytes.
func (f *inflater) inflate(data []byte, size, most int64) ([]byte, error) {
	if size < 1 || size > most {
		return nil, fmt.Errorf("%d bytes: want 1 to %d", size, most)
	}
	f.in.Reset(data)
	if err := f.reset(); err != nil {
		return nil, err
	}
	if int64(cap(f.out)) < size {
		f.out = make([]byte, 2*size)
	}
	f.out = f.out[:size]
	if _, err := io.ReadFull(f.z, f.out); err != nil {
		return nil, fmt.Errorf("unpack %d bytes: %w", size, err)
	}
	// The end is where the checksum is.
	var more [1]byte
	switch n, err := f.z.Read(more[:]); {
	case n > 0:
		return nil, fmt.Errorf("it unpacks to more than %d bytes", size)
	case !errors.Is(err, io.EOF):
		return nil, fmt.Errorf("unpack: %w", err)
	case f.in.Len() > 0:
		return nil, fmt.Errorf("%d bytes follow what is packed", f.in.Len())
	}
	return f.out, nil
}

func (f *inflater) reset() (err error) {
	if f.z == nil {
		f.z, err = zlib.NewReader(&f.in)
		return err
	}
	return f.z.(zlib.Resetter).Reset(&f.in, nil)
}
