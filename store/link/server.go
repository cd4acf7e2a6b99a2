package link

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

// Hello says whose journal is served.
type Hello struct {
	Protocol  int    `json:"protocol"`
	Journal   string `json:"journal"` // tells one journal from another
	Station   string `json:"station"` // where the board stands that has it open
	Rehearsal bool   `json:"rehearsal,omitempty"`
	// Speed is how many times as fast as life the board's clock goes; 0 is once.
	Speed    float64 `json:"speed,omitempty"`
	NoScreen bool    `json:"no_screen,omitempty"` // nobody looks at the board itself
	// Seq and Head are where the journal ended when the screen asked, as
	// journal.Head has it.
	Seq  cellar.Seq `json:"seq"`
	Head string     `json:"head,omitempty"`
}

// Beat is one heartbeat of the board: the house's time by its calculation, and where its
// journal ends, as Hello has it.
type Beat struct {
	At   time.Time  `json:"at"`
	Seq  cellar.Seq `json:"seq,omitempty"`
	Head string     `json:"head,omitempty"`
}

// Path is where the socket of a journal is.
func Path(journal string) string { return journal + ".link" }

// patience is how long a screen may take to ask, or to take what it asked for,
// before it is let go.
const patience = 10 * time.Second

// Server serves one journal. It is made by Serve.
type Server struct {
	j     cellar.Journal
	hello Hello
	head  func() (cellar.Seq, string)
	path  string
	stop  context.CancelFunc
	ctx   context.Context
	all   sync.WaitGroup

	screens atomic.Int64

	mu    sync.Mutex
	ln    net.Listener
	own   os.FileInfo // the socket at the path
	told  int         // beats
	beat  Beat
	next  chan struct{} // closed and replaced at each beat
	conns map[net.Conn]bool
}

// Serve listens at Path(journal) until Close; head says where the journal ends, nil
// where nobody asks. The caller holds the journal for
// writing, so a socket that lies there was left behind, and is replaced. The
// errors are those of the system: a path of some hundred characters is too long
// for a socket.
func Serve(journal string, j cellar.Journal, hello Hello, head func() (cellar.Seq, string)) (*Server, error) {
	ln, own, err := listen(Path(journal))
	if err != nil {
		return nil, fmt.Errorf("listen beside the journal: %w", err)
	}
	hello.Protocol = protocol
	s := &Server{j: j, hello: hello, head: head, path: Path(journal), own: own, ln: ln, next: make(chan struct{}),
		conns: map[net.Conn]bool{}}
	s.ctx, s.stop = context.WithCancel(context.Background())
	s.all.Add(1)
	go s.accept(ln)
	return s, nil
}

// listen makes a socket in the place of one that was left behind. What else lies
// there belongs to somebody, and stays.
func listen(path string) (net.Listener, os.FileInfo, error) {
	if was, err := os.Lstat(path); err == nil {
		if m := was.Mode(); m.IsRegular() || m.IsDir() || m&os.ModeSymlink != 0 {
			return nil, nil, fmt.Errorf("something lies at %s that is not of a board; take it away", path)
		}
		_ = os.Remove(path)
	}
	ln, err := net.Listen("unix", path)
	if err != nil {
		return nil, nil, err
	}
	ln.(*net.UnixListener).SetUnlinkOnClose(false) // by then another board's may be there
	err = os.Chmod(path, 0o600)
	own, no := os.Lstat(path)
	if err = errors.Join(err, no); err != nil {
		_ = ln.Close()
		_ = os.Remove(path)
		return nil, nil, err
	}
	return ln, own, nil
}

// Screens counts those that have joined.
func (s *Server) Screens() int { return int(s.screens.Load()) }

// Beat tells all screens that the board runs and what time it is there. It never
// waits.
func (s *Server) Beat(at time.Time) {
	b := Beat{At: at}
	if s.head != nil {
		b.Seq, b.Head = s.head()
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.beat = b
	close(s.next)
	s.next = make(chan struct{})
	if s.told++; s.told%stayEvery == 0 && s.ctx.Err() == nil {
		s.all.Add(1)
		go s.stay()
	}
}

// stayEvery is after how many beats a board looks whether its socket is there.
const stayEvery = 10

// stay makes the socket again when somebody has cleared it away: those who have
// joined would see the beats and could write nothing. While the file of the journal
// is not at its place nobody is served: what is there now is not what the board has.
func (s *Server) stay() {
	defer s.all.Done()
	s.mu.Lock()
	defer s.mu.Unlock()
	if f, ok := s.j.(interface{ SameFile() error }); ok && f.SameFile() != nil {
		s.letGo()
		return
	}
	if _, err := os.Lstat(s.path); !errors.Is(err, os.ErrNotExist) || s.ctx.Err() != nil {
		return
	}
	ln, own, err := listen(s.path)
	if err != nil {
		return
	}
	_ = s.ln.Close()
	s.ln, s.own = ln, own
	s.all.Add(1)
	go s.accept(ln)
}

// Close ends the serving and lets all screens go. The journal stays open.
func (s *Server) Close() error {
	s.mu.Lock()
	s.stop()
	err := s.letGo()
	s.mu.Unlock()
	s.all.Wait()
	if errors.Is(err, net.ErrClosed) {
		err = nil
	}
	return err
}

// letGo takes the socket away and lets all screens go. It is called with the lock.
func (s *Server) letGo() error {
	if now, err := os.Lstat(s.path); err == nil && os.SameFile(now, s.own) {
		_ = os.Remove(s.path)
	}
	err := s.ln.Close()
	for c := range s.conns {
		_ = c.Close()
	}
	return err
}

func (s *Server) accept(ln net.Listener) {
	defer s.all.Done()
	for {
		c, err := ln.Accept()
		if err != nil {
			if errors.Is(err, net.ErrClosed) {
				return
			}
			time.Sleep(100 * time.Millisecond) // out of files, say: screens try again
			continue
		}
		s.mu.Lock()
		over := s.ctx.Err() != nil
		if !over {
			s.conns[c] = true
		}
		s.mu.Unlock()
		if over {
			_ = c.Close()
			return
		}
		s.all.Add(1)
		go func() {
			defer s.all.Done()
			s.serve(c)
			_ = c.Close()
			s.mu.Lock()
			delete(s.conns, c)
			s.mu.Unlock()
		}()
	}
}

// out is a connection on which each frame has to be taken in time.
type out struct{ net.Conn }

func (o out) Write(b []byte) (int, error) {
	_ = o.SetWriteDeadline(time.Now().Add(patience))
	return o.Conn.Write(b)
}

func (s *Server) serve(c net.Conn) {
	w := out{c}
	_ = c.SetReadDeadline(time.Now().Add(patience))
	var a ask
	hello := s.hello
	if s.head != nil {
		hello.Seq, hello.Head = s.head()
	}
	if expect(c, frameAsk, &a) != nil || writeJSON(w, frameHello, hello) != nil {
		return
	}
	if a.Protocol != protocol {
		_ = writeJSON(w, frameEnd, end{Code: "newer",
			Says: fmt.Sprintf("the board speaks version %d, this screen version %d", protocol, a.Protocol)})
		return
	}
	if a.Do == doAppend {
		_ = writeJSON(w, frameEnd, endOf(s.append(c, a)))
		return
	}
	_ = c.SetReadDeadline(time.Time{})
	ctx, cancel := context.WithCancel(s.ctx)
	defer cancel()
	go func() { // nothing more is asked: what comes is the end of the screen
		_, _ = c.Read(make([]byte, 1))
		cancel()
	}()
	switch a.Do {
	case doBeat:
		s.beats(ctx, w)
	case doRead:
		var ch chain
		err := s.j.Read(ctx, a.From, func(rec cellar.Record) error { return ch.write(w, rec) })
		_ = writeJSON(w, frameEnd, endOf(0, err))
	case doWatch:
		s.watch(ctx, w, a.From)
	default:
		_ = writeJSON(w, frameEnd, end{Code: "other", Says: fmt.Sprintf("the board does not know what %q is", a.Do)})
	}
}

func (s *Server) watch(ctx context.Context, w out, from cellar.Seq) {
	recs, err := s.j.Watch(ctx, from)
	if err != nil {
		_ = writeJSON(w, frameEnd, endOf(0, err))
		return
	}
	var ch chain
	for rec := range recs {
		if ch.write(w, rec) != nil {
			return
		}
	}
	if ctx.Err() == nil { // not the screen's end, nor ours
		_ = writeJSON(w, frameEnd, end{Code: "damaged", Says: "the board cannot read on in its journal"})
	}
}

func (s *Server) beats(ctx context.Context, w out) {
	s.screens.Add(1)
	defer s.screens.Add(-1)
	for {
		s.mu.Lock()
		b, next := s.beat, s.next
		s.mu.Unlock()
		if !b.At.IsZero() && writeJSON(w, frameBeat, b) != nil {
			return
		}
		select {
		case <-next:
		case <-ctx.Done():
			return
		}
	}
}

// maxAppend is how many records one entry of a person can make at most.
const maxAppend = 10_000

func (s *Server) append(c net.Conn, a ask) (cellar.Seq, error) {
	if a.Count < 1 || a.Count > maxAppend {
		return 0, errors.New("there is nothing to append")
	}
	var ch chain
	recs := make([]cellar.Record, 0, a.Count)
	for range a.Count {
		kind, payload, err := readFrame(c)
		if err != nil || kind != frameRecord {
			return 0, errors.New("the entry arrived cut short; nothing was saved")
		}
		rec, err := ch.take(payload)
		if err != nil {
			return 0, err
		}
		recs = append(recs, rec)
	}
	return s.j.Append(s.ctx, a.After, recs...)
}

// parse is a frame of the kind that was looked for.
func parse[T any](payload []byte) (v T, err error) {
	err = json.Unmarshal(payload, &v)
	return v, err
}
