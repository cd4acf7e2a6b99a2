package feed

import (
	"context"
	"errors"
	"os"
	"sync"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// shelf is a store that holds the sequences 1 to n and hands out at most two at
// a time.
type shelf struct {
	mu sync.Mutex
	n  cellar.Seq
}

func (s *shelf) put(n cellar.Seq) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.n += n
}

func (s *shelf) read(from cellar.Seq) ([]cellar.Record, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []cellar.Record
	for seq := from; seq <= s.n && len(out) < 2; seq++ {
		out = append(out, cellar.Record{Seq: seq})
	}
	return out, nil
}

func never(t *testing.T) func(error) {
	return func(err error) { t.Errorf("the source failed: %v", err) }
}

func TestFollowersAreWoken(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f, s := New(), &shelf{n: 3}
		out, err := f.Follow(t.Context(), 2, s.read, never(t))
		require.NoError(t, err)
		require.Equal(t, cellar.Seq(2), (<-out).Seq)
		require.Equal(t, cellar.Seq(3), (<-out).Seq)
		synctest.Wait()
		require.Empty(t, out)
		s.put(2)
		synctest.Wait()
		select {
		case <-out:
			t.Error("it looked without being woken")
		default:
		}
		f.Wake()
		require.Equal(t, cellar.Seq(4), (<-out).Seq)
		require.Equal(t, cellar.Seq(5), (<-out).Seq)
		f.Close()
		_, open := <-out
		require.False(t, open)
	})
}

func TestWakeNeverWaits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f, s := New(), &shelf{}
		out, err := f.Follow(t.Context(), 0, s.read, never(t))
		require.NoError(t, err)
		for range 1000 { // nobody takes anything
			s.put(1)
			f.Wake()
		}
		for n := range 1000 {
			require.Equal(t, cellar.Seq(n+1), (<-out).Seq)
		}
		f.Close()
	})
}

func TestEveryWayToTheEnd(t *testing.T) {
	for name, end := range map[string]func(f *Feed, cancel func()){
		"context": func(_ *Feed, cancel func()) { cancel() },
		"close":   func(f *Feed, _ func()) { f.Close() },
	} {
		for _, held := range []cellar.Seq{0, 5} { // waiting for more; waiting to be read
			t.Run(name, func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) {
					f, s := New(), &shelf{n: held}
					ctx, cancel := context.WithCancel(t.Context())
					defer cancel()
					out, err := f.Follow(ctx, 0, s.read, never(t))
					require.NoError(t, err)
					synctest.Wait()
					end(f, cancel)
					synctest.Wait()
					_, open := <-out
					require.False(t, open)
					f.Close()
				})
			})
		}
	}
}

func TestSourceFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := New()
		torn := errors.New("torn")
		var got error
		out, err := f.Follow(t.Context(), 1, func(cellar.Seq) ([]cellar.Record, error) {
			return []cellar.Record{{Seq: 1}, {Seq: 2}}, torn
		}, func(err error) { got = err })
		require.NoError(t, err)
		require.Equal(t, cellar.Seq(1), (<-out).Seq, "what came with the error is delivered")
		require.Equal(t, cellar.Seq(2), (<-out).Seq)
		_, open := <-out
		require.False(t, open)
		f.Close()
		require.Equal(t, torn, got)
	})
}

func TestAfterClose(t *testing.T) {
	f := New()
	f.Close()
	f.Close()
	f.Wake()
	_, err := f.Follow(context.Background(), 0, (&shelf{}).read, never(t))
	require.ErrorIs(t, err, os.ErrClosed)
}

func TestCloseWaitsForTheReaders(t *testing.T) {
	// The store is taken away after Close: nobody may still be in it.
	synctest.Test(t, func(t *testing.T) {
		f := New()
		inside, leave := make(chan struct{}), make(chan struct{})
		_, err := f.Follow(t.Context(), 0, func(cellar.Seq) ([]cellar.Record, error) {
			close(inside)
			<-leave
			return nil, nil
		}, never(t))
		require.NoError(t, err)
		<-inside
		closed := make(chan struct{})
		go func() { f.Close(); close(closed) }()
		synctest.Wait()
		select {
		case <-closed:
			t.Error("the feed closed with a reader in the store")
		default:
		}
		close(leave)
		<-closed
	})
}
