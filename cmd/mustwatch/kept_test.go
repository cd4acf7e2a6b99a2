package main

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
)

// opened opens the journal, and tells up to where its state had been kept. The state is
// held against the one that the whole journal adds up to.
func (b *bench) opened(path string) (h *held, kept cellar.Seq) {
	b.t.Helper()
	h, err := hold(context.Background(), path, journal.Options{})
	require.NoError(b.t, err)
	all, err := cellar.Replay(context.Background(), h.file)
	require.NoError(b.t, err)
	require.NoError(b.t, cellar.Alike(h.state, all))
	return h, h.kept
}

// A start takes up what the end before it has kept, and goes on from there; where that is
// missing, broken, of another program or another journal, it folds what stands written.
func TestAStartTakesUpWhatWasKept(t *testing.T) {
	x := season(t, keepAfter+100)
	path := x.file("cellar.db")
	h, kept := x.opened(path)
	require.Zero(t, kept)
	end := h.state.Seq
	require.NoError(t, h.letGo(nil))

	h, kept = x.opened(path)
	require.Equal(t, end, kept)
	_, err := h.Append(context.Background(), end, x.reading(h.state, 1), x.reading(h.state, 2))
	require.NoError(t, err)
	require.NoError(t, h.letGo(nil))
	h, kept = x.opened(path)
	require.Equal(t, end, kept, "it is not kept again for so little")
	require.Equal(t, end+2, h.state.Seq)
	require.NoError(t, h.letGo(nil))
	require.Zero(t, x.run("verify"), x.err.String())
	require.Contains(t, x.out.String(), "beside it is what the journal adds up to")

	whole, err := os.ReadFile(path + ".state")
	require.NoError(t, err)
	spoilt := func(change func([]byte) []byte) {
		t.Helper()
		require.NoError(t, os.WriteFile(path+".state", change(append([]byte(nil), whole...)), 0o600))
		h, kept := x.opened(path)
		require.Zero(t, kept)
		h.kept = h.state.Seq // it is not kept again
		require.NoError(t, h.letGo(nil))
		require.Zero(t, x.run("verify"), x.err.String())
	}
	spoilt(func(b []byte) []byte { return b[:len(b)-1] })
	spoilt(func(b []byte) []byte { b[len(b)/2] ^= 1; return b })
	spoilt(func(b []byte) []byte { b[40] ^= 1; return b })
	spoilt(func([]byte) []byte { return nil })

	j, err := journal.Open(path, journal.Options{})
	require.NoError(t, err)
	_, _, ok := j.Kept(build())
	require.False(t, ok)
	data, err := h.state.Kept()
	require.NoError(t, err)
	require.NoError(t, j.Keep("another build", end, data))
	_, _, ok = j.Kept(build())
	require.False(t, ok, "of another build")
	require.NoError(t, j.Keep(build(), end, data))
	_, _, ok = j.Kept(build())
	require.True(t, ok)
	require.NoError(t, j.Close())

	other := season(t, keepAfter+100)
	require.NoError(t, os.WriteFile(other.file("cellar.db.state"), whole, 0o600))
	h, kept = other.opened(other.file("cellar.db"))
	require.Zero(t, kept, "of another journal")
	require.NoError(t, h.letGo(nil))
}

// What was kept and is not what the journal adds up to is found by verify.
func TestVerifyHoldsWhatWasKeptAgainstTheJournal(t *testing.T) {
	x := season(t, keepAfter+100)
	path := x.file("cellar.db")
	h, _ := x.opened(path)
	h.state.Loads = append(h.state.Loads, &cellar.Load{ID: "never"})
	require.NoError(t, h.letGo(nil))
	require.NotZero(t, x.run("verify"))
	require.Contains(t, x.err.String(), "is not what the journal adds up to")
}
