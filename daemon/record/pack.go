package record

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
)

// packer packs lines as zlib (RFC 1950), which Python's zlib module and the
// sqlite3 program's sqlar_uncompress open. It is kept from block to block, for a
// new one takes most of a megabyte.
type packer struct {
	buffer bytes.Buffer
	zlib   *zlib.Writer
}

// pack returns line packed. It is good until the next call.
func (p *packer) pack(line []byte) ([]byte, error) {
	p.buffer.Reset()
	if p.zlib == nil {
		p.zlib, _ = zlib.NewWriterLevel(&p.buffer, zlib.BestCompression) // it knows that level
	} else {
		p.zlib.Reset(&p.buffer)
	}
	if _, err := p.zlib.Write(line); err != nil {
		return nil, fmt.Errorf("pack a block: %w", err)
	}
	if err := p.zlib.Close(); err != nil {
		return nil, fmt.Errorf("pack a block: %w", err)
	}
	return p.buffer.Bytes(), nil
}

// unpacker undoes what a packer did.
type unpacker struct {
	packed bytes.Reader
	zlib   io.ReadCloser
	line   []byte // room for one that is packed by itself
}

// unpack returns the text of size bytes that was packed as data, in the room of
// into if that is enough.
func (u *unpacker) unpack(into, data []byte, size int64) ([]byte, error) {
	// A line packs at most so well (zlib.net/zlib_tech.html: 1032 to 1); a size
	// beyond that is not worth making room for.
	if size < 0 || size > 1032*int64(len(data))+64 {
		return nil, fmt.Errorf("unpack a block: %d bytes cannot hold %d", len(data), size)
	}
	u.packed.Reset(data)
	var err error
	if u.zlib == nil {
		u.zlib, err = zlib.NewReader(&u.packed)
	} else {
		err = u.zlib.(zlib.Resetter).Reset(&u.packed, nil)
	}
	if err != nil {
		return nil, fmt.Errorf("unpack a block: %w", err)
	}
	if int64(cap(into)) <= size {
		into = make([]byte, size+1)
	}
	// One byte more than the line has, so that the checksum behind it is read
	// and a longer one is found out.
	n, err := io.ReadFull(u.zlib, into[:size+1])
	switch {
	case err == nil:
		return nil, fmt.Errorf("unpack a block: it has more than %d bytes", size)
	case !errors.Is(err, io.ErrUnexpectedEOF) || int64(n) != size:
		return nil, fmt.Errorf("unpack a block: %d bytes of %d: %w", n, size, err)
	}
	return into[:size], nil
}
