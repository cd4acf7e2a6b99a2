package journal

import (
	"context"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

// update writes the fixture again: go test ./store/journal -run Fixture -update.
// The formats are frozen (testdata/README.md): write it again only when a kind of fact
// was added, never because an old one no longer opens. The test is the proof that what
// it holds can still be read.
var update = flag.Bool("update", false, "write the fixture journal of the present version again")

// fixture holds one record of each kind of fact, as version 1 wrote them.
var fixture = filepath.Join("..", "..", "testdata", "journal", "v1.bolt")

func writeFixture(t *testing.T) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(fixture), 0o755))
	for _, old := range []string{fixture, headPath(fixture)} {
		_ = os.Remove(old)
	}
	require.NoError(t, Create(fixture, Info{Kind: Rehearsal, Created: storetest.Evening, ID: "fixture-1"}))
	j, err := Open(fixture, Options{})
	require.NoError(t, err)
	var recs []cellar.Record
	for i, kind := range cellar.Kinds() {
		rec := storetest.Record(i + 1)
		fact, ok := cellar.NewFact(kind)
		require.True(t, ok)
		rec.Fact, rec.Entry = fact, kind
		recs = append(recs, rec)
	}
	_, err = j.Append(context.Background(), 0, recs...)
	require.NoError(t, err)
	storetest.Fill(t, j, len(recs), len(recs)+2)
	require.NoError(t, j.Close())
}

func TestFixtureOfVersion1(t *testing.T) {
	if *update {
		writeFixture(t)
	}
	path := filepath.Join(t.TempDir(), "cellar.db")
	copyJournal(t, fixture, path, true)
	j := mustOpen(t, path)
	require.NoError(t, j.Warning())
	require.Equal(t, Info{Kind: Rehearsal, Created: storetest.Evening, ID: "fixture-1"}, j.Info())
	got := storetest.Collect(t, j, 0)
	seq, _ := j.Head()
	require.Len(t, got, int(seq))
	for _, rec := range got {
		if rec.Entry != "" {
			require.Equal(t, rec.Entry, cellar.Kind(rec.Fact), "a kind never changes its name")
		}
	}
	require.Equal(t, storetest.Text(t, storetest.Record(int(seq))), storetest.Text(t, got[seq-1]))
	storetest.Fill(t, j, int(seq), int(seq)+1)
}
