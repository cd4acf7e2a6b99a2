package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"sync"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
)

// keepAfter is how many records are folded at a start before their state is worth
// keeping for the next one.
const keepAfter = 20_000

// build names this very program: its bytes. "" where it cannot be read; then nothing is
// kept, and nothing kept is trusted.
var build = sync.OnceValue(func() string {
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	f, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return ""
	}
	return hex.EncodeToString(h.Sum(nil))
})

// takenUp is what a journal adds up to, from what was kept of it where that can be used,
// and up to which record that was.
func takenUp(ctx context.Context, j *journal.Journal) (s *cellar.State, kept cellar.Seq, err error) {
	if s, kept = restored(j); s == nil {
		s = cellar.NewState()
	}
	return s, kept, cellar.CatchUp(ctx, j, s)
}

// restored is the state that was kept beside a journal, nil where there is none of use.
func restored(j *journal.Journal) (*cellar.State, cellar.Seq) {
	if seq, _ := j.Head(); seq < keepAfter {
		return nil, 0
	}
	data, seq, ok := j.Kept(build())
	if !ok {
		return nil, 0
	}
	s, err := cellar.Restored(data)
	if err != nil || s.Seq != seq {
		return nil, 0
	}
	return s, seq
}

// keep writes down what the journal adds up to, once enough has come since that was done
// last. If it cannot, the next start takes longer.
func (h *held) keep() {
	if h.file == nil || h.state == nil || h.state.Seq < h.kept+keepAfter {
		return
	}
	if seq, _ := h.file.Head(); seq != h.state.Seq {
		return
	}
	if data, err := h.state.Kept(); err == nil {
		_ = h.file.Keep(build(), h.state.Seq, data)
	}
}

// keptSays holds the state that was kept against the one that the journal adds up to,
// and says what there is, "" where there is nothing.
func keptSays(ctx context.Context, j *journal.Journal, now *cellar.State) (string, error) {
	s, seq := restored(j)
	if s == nil {
		return "", nil
	}
	if err := cellar.CatchUp(ctx, j, s); err != nil {
		return "", err
	}
	if err := cellar.Alike(s, now); err != nil {
		return "", fmt.Errorf("the state kept of record %d beside it is not what the journal adds up to; delete the "+
			"file that ends in .state: %w", seq, err)
	}
	return sentence("  the state kept of record {seq} beside it is what the journal adds up to", seq), nil
}
