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
	"cellar.example/mustwatch/store/codec"
)

var _ cellar.Journal = (*Client)(nil)

// ErrGone says that the board which has the journal open does not answer. It is
// wrapped by what cannot be done meanwhile.
var ErrGone = errors.New("the board that has the journal open does not answer")

// ErrSilent is ErrGone where something listens and says nothing: it may be frozen.
var ErrSilent = fmt.Errorf("%w: it may be frozen", ErrGone)

// errNobody is ErrGone where nothing listens: the board has ended, or is not up yet.
var errNobody = fmt.Errorf("%w", ErrGone)

// greeting is how long a board may take to say whose journal it has: one that runs
// says so at once.
const greeting = 5 * time.Second

// again is how long a screen waits before it asks a board again that is gone.
const again = 500 * time.Millisecond

// Client is a cellar.Journal at the other end of the link, safe for several
// goroutines. It is made by Dial and outlives the board it joined: when a board
// has the same journal open again, it goes on with that one.
type Client struct {
	path string        // of the socket
	of   string        // the journal
	id   string        // which one it is, once it has been joined
	most time.Duration // how long a board may fall silent in the middle of an answer
	ctx  context.Context
	stop context.CancelFunc
	all  sync.WaitGroup

	mu     sync.Mutex
	hello  Hello // of the board that is heard, or was last
	beat   Beat
	heard  time.Time // with the monotonic clock: when the last beat came
	alone  bool      // nothing listens there any more
	known  Known
	last   sealed // the last record that was read
	closed bool
}

// sealed is a record as it came. What was read from it belongs to the screen, which may
// have changed it by the time it is compared.
type sealed struct {
	seq  cellar.Seq
	body []byte
	prev codec.Hash
}

// Known is what a screen knows of the journal it has joined: enough to report whether a
// file is that journal, as far as it has come.
type Known struct {
	Journal string
	Seq     cellar.Seq    // of the last record that is known of
	Last    cellar.Record // the last one that was read; without a Fact there was none
	// Told is a record of which the board has told the hash, Head that hash as
	// journal.Head has it; "" when it has told none.
	Told cellar.Seq
	Head string
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
	c.id = hello.Journal
	c.greeted(hello)
	c.all.Add(1)
	go c.listen(conn)
	return c, nil
}

// Hello says which journal it is, and where the board stands that has it open, or was
// the last to.
func (c *Client) Hello() Hello {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.hello
}

// Known is what is known of the journal by now.
func (c *Client) Known() Known {
	c.mu.Lock()
	defer c.mu.Unlock()
	k := c.known
	k.Journal = c.id
	if c.last.seq > 0 {
		k.Last, _, _ = codec.Decode(c.last.body, c.last.prev) // it was read once
	}
	return k
}

// Alone reports whether nothing listens where the board was. A board that is frozen
// still does.
func (c *Client) Alone() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.alone
}

// greeted takes what a board says of itself.
func (c *Client) greeted(h Hello) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.hello, c.alone = h, false
	c.told(h.Seq, h.Head)
}

// told notes the hash of a record. It is called with the lock.
func (c *Client) told(seq cellar.Seq, head string) {
	if head != "" && seq >= c.known.Told {
		c.known.Told, c.known.Head = seq, head
	}
}

// Greet asks the board again where its journal stands.
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
				c.told(b.Seq, b.Head)
				c.mu.Unlock()
			}
		}
		if conn != nil {
			_ = conn.Close()
		}
		if !c.pause(again) {
			return
		}
		var hello Hello
		var err error
		if conn, hello, err = c.open(c.ctx, ask{Do: doBeat}); err == nil {
			c.greeted(hello)
			continue
		}
		c.mu.Lock()
		c.alone = errors.Is(err, errNobody)
		c.mu.Unlock()
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
	if err := trusted(c.of); errors.Is(err, os.ErrNotExist) {
		return nil, Hello{}, errNobody
	} else if err != nil {
		return nil, Hello{}, fmt.Errorf("%w: %w", ErrGone, err)
	}
	var d net.Dialer
	conn, err := d.DialContext(ctx, "unix", c.path)
	if err != nil {
		return nil, Hello{}, errNobody // that is all there is to it
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
		err = fmt.Errorf("%w: the board speaks version %d, this screen version %d", cellar.ErrNewer, h.Protocol,
			protocol)
	case c.id != "" && h.Journal != c.id:
		err = fmt.Errorf("%w: another journal is open there now", cellar.ErrDamaged)
	case h.Head != "" && h.Seq < seen:
		err = fmt.Errorf("%w: the journal that is open there now ends at %d, this screen has seen %d",
			cellar.ErrDamaged, h.Seq, seen)
	}
	if err != nil {
		_ = conn.Close()
		return nil, Hello{}, err
	}
	let := context.AfterFunc(ctx, func() { _ = conn.Close() })
	return &tied{conn, let}, h, nil
}

// saw notes the last record that is known of, and says which it is.
func (c *Client) saw(seq cellar.Seq) cellar.Seq {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.known.Seq = max(c.known.Seq, seq)
	return c.known.Seq
}

// took reads a record that came, and notes it.
func (c *Client) took(ch *chain, body []byte) (cellar.Record, error) {
	prev := ch.last
	rec, err := ch.take(body)
	if err != nil {
		return rec, err
	}
	c.saw(rec.Seq)
	c.mu.Lock()
	defer c.mu.Unlock()
	if rec.Seq >= c.last.seq {
		c.last = sealed{rec.Seq, body, prev}
	}
	return rec, nil
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
		return 0, &cellar.Doing{What: "append through the board", Err: err}
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
		var broke *net.OpError
		if err := ch.write(conn, rec); errors.As(err, &broke) { // the board has not got all of it
			return 0, &cellar.Doing{What: "nothing was written", Err: ErrGone}
		} else if err != nil {
			return 0, &cellar.Doing{What: "nothing was written", Err: err}
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
		rec, err := c.took(&ch, payload)
		if err != nil {
			return err
		}
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
		rec, err := c.took(&ch, payload)
		if err != nil {
			return false
		}
		select {
		case out <- rec:
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
