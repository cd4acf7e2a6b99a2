package link

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"sync"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

var _ cellar.Journal = (*Client)(nil)

// ErrGone says that the board which has the journal open does not answer. It is
// wrapped by what cannot be done meanwhile.
var ErrGone = errors.New("the board that has the journal open does not answer")

// ErrSilent is ErrGone where something listens and says nothing: it may be frozen.
var ErrSilent = fmt.Errorf("%w: it may be frozen", ErrGone)

// greeting is how long a board may take to say whose journal it has: one that runs
// says so at once.
const greeting = 5 * time.Second

// again is how long a screen waits before it asks a board anew that is gone.
const again = 500 * time.Millisecond

// Client is a cellar.Journal at the other end of the link, safe for several
// goroutines. It is made by Dial and outlives the board it joined: when a board
// has the same journal open again, it goes on with that one.
type Client struct {
	path  string // of the socket
	of    string // the journal
	hello Hello
	most  time.Duration // how long a board may fall silent in the middle of an answer
	ctx   context.Context
	stop  context.CancelFunc
	all   sync.WaitGroup

	mu     sync.Mutex
	beat   Beat
	heard  time.Time  // with the monotonic clock: when the last beat came
	seen   cellar.Seq // the last record that the screen knows of
	closed bool
}

// Dial joins the board that has the journal at a path open. An error says that no
// board serves it.
func Dial(journal string) (*Client, error) {
	c := &Client{path: Path(journal), of: journal, most: patience, heard: time.Now()}
	c.ctx, c.stop = context.WithCancel(context.Background())
	conn, hello, err := c.open(c.ctx, ask{Do: doBeat})
	if err != nil {
		c.stop()
		return nil, err
	}
	c.hello = hello
	c.all.Add(1)
	go c.listen(conn)
	return c, nil
}

// Hello says which journal it was when the screen joined, and where its board stands.
func (c *Client) Hello() Hello { return c.hello }

// Greet asks the board anew where its journal stands.
func (c *Client) Greet() (Hello, error) {
	conn, h, err := c.open(c.ctx, ask{Do: doBeat})
	if err != nil {
		return Hello{}, err
	}
	return h, conn.Close()
}

// Heard is the time of the house at the board's last beat, and how long ago that
// came. Before the first one the time is zero.
func (c *Client) Heard() (at time.Time, ago time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.beat.At, time.Since(c.heard)
}

// Wait blocks until the first beat has come, at most for a while, and says whether
// it did.
func (c *Client) Wait(most time.Duration) bool {
	for until := time.Now().Add(most); ; {
		if at, _ := c.Heard(); !at.IsZero() {
			return true
		}
		if time.Now().After(until) || !c.pause(10*time.Millisecond) {
			return false
		}
	}
}

// listen takes the beats for as long as the client lives.
func (c *Client) listen(conn net.Conn) {
	defer c.all.Done()
	for {
		for conn != nil {
			kind, payload, err := readFrame(conn)
			if err != nil || kind != frameBeat {
				break
			}
			if b, err := parse[Beat](payload); err == nil {
				c.mu.Lock()
				c.beat, c.heard = b, time.Now()
				c.mu.Unlock()
			}
		}
		if conn != nil {
			_ = conn.Close()
		}
		if !c.pause(again) {
			return
		}
		conn, _, _ = c.open(c.ctx, ask{Do: doBeat})
	}
}

// pause waits and says whether the client is still in use.
func (c *Client) pause(d time.Duration) bool {
	select {
	case <-time.After(d):
		return true
	case <-c.ctx.Done():
		return false
	}
}

// open asks for something and reads whose journal it is. The connection ends with
// ctx and with the client.
func (c *Client) open(ctx context.Context, a ask) (net.Conn, Hello, error) {
	seen := c.saw(0) // before the board is asked: it can only have more by then
	if err := trusted(c.of); err != nil {
		return nil, Hello{}, fmt.Errorf("%w: %w", ErrGone, err)
	}
	var d net.Dialer
	conn, err := d.DialContext(ctx, "unix", c.path)
	if err != nil {
		return nil, Hello{}, ErrGone // that nobody listens is all there is to it
	}
	a.Protocol = protocol
	var h Hello
	_ = conn.SetDeadline(time.Now().Add(greeting))
	if err := errors.Join(writeJSON(conn, frameAsk, a), expect(conn, frameHello, &h)); err != nil {
		_ = conn.Close()
		return nil, Hello{}, ErrSilent
	}
	_ = conn.SetDeadline(time.Time{})
	switch {
	case h.Protocol != protocol:
		err = fmt.Errorf("%w: the board speaks version %d, this screen version %d", cellar.ErrNewer, h.Protocol, protocol)
	case c.hello.Journal != "" && h.Journal != c.hello.Journal:
		err = fmt.Errorf("%w: another journal is open there now", cellar.ErrDamaged)
	case h.Head != "" && h.Seq < seen:
		err = fmt.Errorf("%w: the journal that is open there now ends at %d, this screen has seen %d", cellar.ErrDamaged, h.Seq, seen)
	}
	if err != nil {
		_ = conn.Close()
		return nil, Hello{}, err
	}
	let := context.AfterFunc(ctx, func() { _ = conn.Close() })
	return &tied{conn, let}, h, nil
}

// saw notes the last record that is known, and says which it is.
func (c *Client) saw(seq cellar.Seq) cellar.Seq {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.seen = max(c.seen, seq)
	return c.seen
}

// tied is a connection that ends with a context, and is forgotten by it once it is
// closed.
type tied struct {
	net.Conn
	let func() bool
}

func (t *tied) Close() error {
	t.let()
	return t.Conn.Close()
}

// use is the context of one request: it ends with the client as well.
func (c *Client) use(ctx context.Context) (context.Context, context.CancelFunc, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.closed {
		return nil, nil, os.ErrClosed
	}
	ctx, cancel := context.WithCancel(ctx)
	after := context.AfterFunc(c.ctx, cancel)
	return ctx, func() { after(); cancel() }, nil
}

// Append implements cellar.Journal by way of the board. When the connection breaks
// before the answer, the error wraps cellar.ErrUnsure.
func (c *Client) Append(ctx context.Context, after cellar.Seq, records ...cellar.Record) (cellar.Seq, error) {
	seq, err := c.append(ctx, after, records)
	if err != nil {
		return 0, fmt.Errorf("append through the board: %w", err)
	}
	return seq, nil
}

func (c *Client) append(ctx context.Context, after cellar.Seq, records []cellar.Record) (cellar.Seq, error) {
	if err := ctx.Err(); err != nil {
		return 0, err
	}
	if len(records) == 0 {
		return 0, errors.New("there is nothing to append")
	}
	_, done, err := c.use(ctx)
	if err != nil {
		return 0, err
	}
	defer done()
	conn, _, err := c.open(c.ctx, ask{Do: doAppend, After: after, Count: len(records)})
	if err != nil {
		return 0, err
	}
	defer conn.Close()
	_ = conn.SetDeadline(time.Now().Add(c.most))
	var ch chain
	for i, rec := range records {
		rec.Seq = cellar.Seq(i + 1) // the board gives the true one
		if err := ch.write(conn, rec); err != nil {
			return 0, fmt.Errorf("nothing was written: %w", err)
		}
	}
	var e end
	if err := expect(conn, frameEnd, &e); err != nil {
		return 0, fmt.Errorf("%w: %w", cellar.ErrUnsure, ErrGone)
	}
	c.saw(e.Seq)
	return e.Seq, e.err()
}

// Read implements cellar.Journal by way of the board.
func (c *Client) Read(ctx context.Context, from cellar.Seq, fn func(cellar.Record) error) error {
	use, done, err := c.use(ctx)
	if err != nil {
		return err
	}
	defer done()
	if err := use.Err(); err != nil {
		return err
	}
	conn, _, err := c.open(use, ask{Do: doRead, From: from})
	if err != nil {
		return err
	}
	defer conn.Close()
	var ch chain
	for {
		_ = conn.SetReadDeadline(time.Now().Add(c.most))
		kind, payload, err := readFrame(conn)
		switch {
		case use.Err() != nil && ctx.Err() != nil:
			return ctx.Err()
		case use.Err() != nil:
			return os.ErrClosed
		case err != nil:
			return ErrGone
		case kind == frameEnd:
			e, err := parse[end](payload)
			return errors.Join(err, e.err())
		}
		rec, err := ch.take(payload)
		if err != nil {
			return err
		}
		c.saw(rec.Seq)
		if err := fn(rec); err != nil {
			return err
		}
	}
}

// Watch implements cellar.Journal by way of the board. While no board answers the
// channel stays open and silent: Heard says for how long.
func (c *Client) Watch(ctx context.Context, from cellar.Seq) (<-chan cellar.Record, error) {
	use, done, err := c.use(ctx)
	if err != nil {
		return nil, err
	}
	out := make(chan cellar.Record)
	c.all.Add(1)
	go func() {
		defer c.all.Done()
		defer done()
		defer close(out)
		from = max(from, 1)
		for use.Err() == nil {
			if !c.follow(use, &from, out) {
				return
			}
			select {
			case <-time.After(again):
			case <-use.Done():
			}
		}
	}()
	return out, nil
}

// follow delivers what comes over one connection; false says that no other will
// help.
func (c *Client) follow(ctx context.Context, from *cellar.Seq, out chan<- cellar.Record) bool {
	conn, _, err := c.open(ctx, ask{Do: doWatch, From: *from})
	if err != nil {
		return errors.Is(err, ErrGone)
	}
	defer conn.Close()
	var ch chain
	for {
		kind, payload, err := readFrame(conn)
		if err != nil {
			return true
		}
		if kind == frameEnd {
			e, err := parse[end](payload)
			return err == nil && errors.Is(e.err(), ErrGone)
		}
		rec, err := ch.take(payload)
		if err != nil {
			return false
		}
		select {
		case out <- rec:
			c.saw(rec.Seq)
			*from = rec.Seq + 1
		case <-ctx.Done():
			return false
		}
	}
}

// Close implements cellar.Journal. The board's journal stays open.
func (c *Client) Close() error {
	c.mu.Lock()
	was := c.closed
	c.closed = true
	c.mu.Unlock()
	if was {
		return nil
	}
	c.stop()
	c.all.Wait()
	return nil
}
