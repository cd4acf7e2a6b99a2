package link

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
)

// protocol is the version of what is said on the socket. Both ends are the same
// program, but not always of the same day.
const protocol = 1

// A frame is one byte for its kind, four for the length, and the payload.
const (
	frameAsk    = 'Q' // what the screen wants, JSON
	frameHello  = 'H' // whose journal this is, JSON
	frameRecord = 'R' // one record, sealed
	frameBeat   = 'B' // the board's heartbeat, JSON
	frameEnd    = 'E' // how it ended, JSON
)

// maxFrame is well above the largest record; more is no frame of ours.
const maxFrame = 16 << 20

// What a screen can ask for.
const (
	doBeat   = "beat"
	doRead   = "read"
	doWatch  = "watch"
	doAppend = "append"
)

type ask struct {
	Protocol int        `json:"protocol"`
	Do       string     `json:"do"`
	From     cellar.Seq `json:"from,omitempty"`  // of read and watch
	After    cellar.Seq `json:"after,omitempty"` // of append
	Count    int        `json:"count,omitempty"` // of append: how many records follow
}

type end struct {
	Seq  cellar.Seq `json:"seq,omitempty"`
	Code string     `json:"code,omitempty"`
	Says string     `json:"says,omitempty"`
}

func writeFrame(w io.Writer, kind byte, payload []byte) error {
	b := make([]byte, 5, 5+len(payload))
	b[0] = kind
	binary.BigEndian.PutUint32(b[1:], uint32(len(payload)))
	_, err := w.Write(append(b, payload...))
	return err
}

func writeJSON(w io.Writer, kind byte, v any) error {
	payload, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return writeFrame(w, kind, payload)
}

func readFrame(r io.Reader) (kind byte, payload []byte, err error) {
	var head [5]byte
	if _, err := io.ReadFull(r, head[:]); err != nil {
		return 0, nil, err
	}
	n := binary.BigEndian.Uint32(head[1:])
	if n > maxFrame {
		return 0, nil, fmt.Errorf("a frame of %d bytes is no frame of a board", n)
	}
	payload = make([]byte, n)
	_, err = io.ReadFull(r, payload)
	return head[0], payload, err
}

// expect reads a frame of one kind into v.
func expect(r io.Reader, kind byte, v any) error {
	got, payload, err := readFrame(r)
	if err != nil {
		return err
	}
	if got != kind {
		return fmt.Errorf("expected frame %c, got %q", kind, got)
	}
	return json.Unmarshal(payload, v)
}

// chain seals the records of one connection one after the other, so that one that
// is lost or altered on the way does not pass.
type chain struct{ last codec.Hash }

func (c *chain) write(w io.Writer, rec cellar.Record) error {
	sealed, hash, err := codec.Encode(rec, c.last)
	if err != nil {
		return err
	}
	c.last = hash
	return writeFrame(w, frameRecord, sealed)
}

func (c *chain) take(payload []byte) (cellar.Record, error) {
	rec, hash, err := codec.Decode(payload, c.last)
	c.last = hash
	return rec, err
}

// The errors of a journal that have a meaning of their own, by name on the socket.
var named = []struct {
	code string
	err  error
}{
	{"conflict", cellar.ErrConflict}, {"locked", cellar.ErrLocked}, {"newer", cellar.ErrNewer},
	{"damaged", cellar.ErrDamaged}, {"missing", cellar.ErrMissing}, {"ended", os.ErrClosed},
	{"ended", context.Canceled},
}

func endOf(seq cellar.Seq, err error) end {
	if err == nil {
		return end{Seq: seq}
	}
	e := end{Code: "other", Says: err.Error()}
	for _, x := range named {
		if errors.Is(err, x.err) {
			e.Code = x.code
			break
		}
	}
	return e
}

func (e end) err() error {
	if e.Code == "" {
		return nil
	}
	for _, x := range named {
		if e.Code == x.code && x.err == os.ErrClosed {
			return fmt.Errorf("%w: %s", ErrGone, e.Says) // the board's journal, not the screen's
		} else if e.Code == x.code {
			return &told{x.err, e.Says}
		}
	}
	return errors.New(e.Says)
}

// told is an error of the board's journal in its own words.
type told struct {
	is   error
	says string
}

func (t *told) Error() string { return t.says }
func (t *told) Unwrap() error { return t.is }
