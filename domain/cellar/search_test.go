package cellar_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// Item 8 of the nights: on day 60 a load of day 3 is found, by its number and by its day,
// newest first, and what can be corrected of it with it.
func TestALoadOfDayThreeIsFoundOnDaySixty(t *testing.T) {
	h := after(t, longHarvest(), 60)
	var seqs []cellar.Seq
	for e := range h.s.SearchFor("0007 weighed").Events {
		require.Contains(t, e.Subject.Full()+e.Text, "0007")
		seqs = append(seqs, e.Seq)
	}
	require.Len(t, seqs, 1)
	var fields []string
	for c := range h.s.SearchFor("0007").Correctables() {
		if c.Of == seqs[0] {
			fields = append(fields, c.Field)
		}
	}
	require.Contains(t, fields, "gross")
	n, last := 0, cellar.Seq(1<<40)
	for e := range h.s.SearchFor("pia 2026-08-26").Events {
		require.Equal(t, cellar.Initials("PL"), e.By)
		require.Equal(t, "26", strings.TrimPrefix(e.At.In(h.s.Zone()).Format("2006-01-02"), "2026-08-"))
		require.LessOrEqual(t, e.Seq, last, "newest first")
		n, last = n+1, e.Seq
	}
	require.Positive(t, n)
	for e := range h.s.SearchFor("000 weighed").Events {
		t.Fatalf("a number is no part of a longer one: %v", e)
	}
	for range h.s.SearchFor("clarifying 101").Events { // the product's name stands on its card alone
		return
	}
	t.Fatal("nothing of a product by its name")
}
