package journal

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

// handmade is a file of n pages of the smallest size, for what no journal of a
// test grows to.
type handmade struct {
	pages []byte
	n     uint64
}

func pagesOf(n uint64) *handmade { return &handmade{make([]byte, n*minPageSize), n} }

// head writes the head of a page and returns what follows it.
func (h *handmade) head(id uint64, flags uint16, count int, more uint32) []byte {
	b := h.pages[id*minPageSize:]
	order.PutUint64(b, id)
	order.PutUint16(b[8:], flags)
	order.PutUint16(b[10:], uint16(count))
	order.PutUint32(b[12:], more)
	return b[pageHeader:]
}

func (h *handmade) inspector(how depth) *inspector {
	return &inspector{
		shape: shape{meta: meta{pageSize: minPageSize, root: 3, free: 2, pages: h.n}},
		file:  bytes.NewReader(h.pages), how: how, owned: make([]uint64, h.n/64+1),
	}
}

func TestFreeList(t *testing.T) {
	for name, test := range map[string]struct {
		fill func(h *handmade)
		want string
	}{
		"empty": {func(h *handmade) { h.head(2, freePage, 0, 0) }, ""},
		"two pages": {func(h *handmade) {
			b := h.head(2, freePage, 2, 0)
			order.PutUint64(b, 5)
			order.PutUint64(b[8:], 6)
		}, ""},
		"a long one": {func(h *handmade) {
			b := h.head(2, freePage, 0xFFFF, 0)
			order.PutUint64(b, 1)
			order.PutUint64(b[8:], 7)
		}, ""},
		"over two pages": {func(h *handmade) {
			b := h.head(2, freePage, 130, 1)
			for i := range 130 {
				order.PutUint64(b[8*i:], uint64(10+i))
			}
		}, ""},
		"a page twice": {func(h *handmade) {
			b := h.head(2, freePage, 2, 0)
			order.PutUint64(b, 5)
			order.PutUint64(b[8:], 5)
		}, "page 5 is used twice"},
		"itself": {func(h *handmade) { order.PutUint64(h.head(2, freePage, 1, 0), 2) },
			"page 2 is used twice"},
		"a root page": {func(h *handmade) { order.PutUint64(h.head(2, freePage, 1, 0), 1) },
			"page 1 is spoken of"},
		"beyond the end": {func(h *handmade) { order.PutUint64(h.head(2, freePage, 1, 0), 200) },
			"page 200 is spoken of"},
		"too many": {func(h *handmade) { h.head(2, freePage, 127, 0) },
			"more free pages than it has room for"},
		"far too many": {func(h *handmade) { order.PutUint64(h.head(2, freePage, 0xFFFF, 0), 1<<62) },
			"more free pages"},
		"no free list": {func(h *handmade) { h.head(2, leafPage, 0, 0) }, "no list of free pages"},
		"another number": {func(h *handmade) { h.head(2, freePage, 0, 0); h.pages[2*minPageSize] = 9 },
			"page 2 calls itself 9"},
		"without an end":    {func(h *handmade) { h.head(2, freePage, 0, 1<<31) }, "flows over the end"},
		"just over the end": {func(h *handmade) { h.head(2, freePage, 0, 198) }, "flows over the end"},
	} {
		t.Run(name, func(t *testing.T) {
			h := pagesOf(200)
			test.fill(h)
			err := h.inspector(spine).freeList()
			if test.want == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, cellar.ErrDamaged)
			require.ErrorContains(t, err, test.want)
		})
	}
}

// branch writes a branch page with one-byte keys.
func (h *handmade) branch(id uint64, children ...uint64) {
	b := h.head(id, branchPage, len(children), 0)
	for i, child := range children {
		e := b[i*elementSize:]
		order.PutUint32(e, uint32((len(children)-i)*elementSize+i))
		order.PutUint32(e[4:], 1)
		order.PutUint64(e[8:], child)
		b[len(children)*elementSize+i] = byte('a' + i)
	}
}

func TestTreesThatAreNone(t *testing.T) {
	for name, test := range map[string]struct {
		fill func(h *handmade)
		want string
	}{
		"a circle":      {func(h *handmade) { h.branch(3, 3) }, "has no end"},
		"a long circle": {func(h *handmade) { h.branch(3, 4); h.branch(4, 3) }, "has no end"},
		"a child twice": {func(h *handmade) { h.branch(3, 4, 4); h.head(4, leafPage, 0, 0) },
			"page 4 is used twice"},
		"a child that is not": {func(h *handmade) { h.branch(3, 4, 99); h.head(4, leafPage, 0, 0) },
			"page 99 is spoken of"},
		"first child is not": {func(h *handmade) { h.branch(3, 99) }, "page 99 is spoken of"},
		"uneven": {func(h *handmade) { h.branch(3, 4, 5); h.head(4, leafPage, 0, 0); h.branch(5, 6) },
			"page 5 is no leaf"},
		"uneven upwards": {func(h *handmade) {
			h.branch(3, 4, 5)
			h.branch(4, 6)
			h.head(6, leafPage, 0, 0)
			h.head(5, leafPage, 0, 0)
		}, "page 5 is no branch"},
		"an empty branch": {func(h *handmade) {
			h.branch(3, 4, 5)
			h.branch(4, 6)
			h.head(6, leafPage, 0, 0)
			h.head(5, branchPage, 0, 0)
		}, "page 5 is no branch with leaves"},
		"a free list":  {func(h *handmade) { h.head(3, freePage, 0, 0) }, "of no kind"},
		"nothing":      {func(*handmade) {}, "of no kind"},
		"many entries": {func(h *handmade) { h.head(3, leafPage, 64, 0) }, "no room for its 64 entries"},
		"disorder": {func(h *handmade) {
			h.branch(3, 4, 5)
			h.head(4, leafPage, 0, 0)
			h.head(5, leafPage, 0, 0)
			h.pages[3*minPageSize+pageHeader+2*elementSize] = 'z'
		}, "out of order"},
	} {
		t.Run(name, func(t *testing.T) {
			h := pagesOf(10)
			test.fill(h)
			err := h.inspector(everyPage).tree(3, false)
			require.ErrorIs(t, err, cellar.ErrDamaged)
			require.ErrorContains(t, err, test.want)
		})
	}
}

func TestInspectionOfWholeJournals(t *testing.T) {
	// Every shape that bbolt gives a file must pass: one leaf, many, branches over
	// branches, records over several pages, long lists of free pages.
	for _, n := range []int{0, 1, 5, 100, 5000} {
		path := filled(t, n)
		for _, how := range []depth{spine, everyPage} {
			s, err := shapeOf(t, path, how)
			require.NoError(t, err, "%d records", n)
			require.False(t, s.torn)
		}
	}
	path := filled(t, 5)
	j := mustOpen(t, path)
	for n := 6; n < 30; n++ {
		rec := storetest.Record(n)
		rec.Fact = storetest.Note(strings.Repeat("long ", 300*n))
		_, err := j.Append(context.Background(), cellar.Seq(n-1), rec)
		require.NoError(t, err)
		require.NoError(t, j.Verify(context.Background()))
	}
	require.NoError(t, j.Close())
	_, err := shapeOf(t, path, everyPage)
	require.NoError(t, err)
}
