package journal

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"io"
	"os"

	"cellar.example/mustwatch/domain/cellar"
)

// The layout of a bbolt file, as far as it has to be known to tell a file that
// bbolt can be let near from one on which it would crash. Numbers are in the
// byte order of the machine that made the file.
const (
	magic         = 0xED0CDAED
	layoutVersion = 2

	pageHeader  = 16 // id u64, flags u16, count u16, overflow u32
	elementSize = 16 // leaf: flags, pos, ksize, vsize u32; branch: pos, ksize u32, page u64
	bucketSize  = 16 // root u64, sequence u64; an inline page follows if root is 0
	metaSize    = 64
	metaSummed  = 56 // what the sum in the last 8 bytes goes over

	branchPage = 0x01
	leafPage   = 0x02
	freePage   = 0x10

	minPages    = 4 // two roots, the free list, one leaf
	minPageSize = 1 << 10
	maxPageSize = 1 << 24
)

var order = binary.NativeEndian

// meta is one of the two root pages.
type meta struct {
	pageSize int64
	root     uint64
	free     uint64
	pages    uint64 // how many pages are in use or were, the high-water mark
	commit   uint64
}

// parseMeta reads a root page; ok is false when it is torn or none at all.
func parseMeta(page []byte) (m meta, ok bool) {
	b := page[pageHeader : pageHeader+metaSize]
	sum := fnv.New64a()
	_, _ = sum.Write(b[:metaSummed])
	if order.Uint32(b) != magic || order.Uint32(b[4:]) != layoutVersion || order.Uint64(b[metaSummed:]) != sum.Sum64() {
		return meta{}, false
	}
	return meta{
		pageSize: int64(order.Uint32(b[8:])),
		root:     order.Uint64(b[16:]),
		free:     order.Uint64(b[32:]),
		pages:    order.Uint64(b[40:]),
		commit:   order.Uint64(b[48:]),
	}, true
}

// depth is how much of a file an inspection looks at.
type depth int

const (
	// spine looks at all that bbolt follows or gives up when it appends: roots,
	// free list, every branch page, and the last leaf. It is about a hundredth
	// of the file, so that an opening does not grow with the journal.
	spine depth = iota
	// everyPage looks at the other leaves too.
	everyPage
)

// shape is what an inspection found.
type shape struct {
	meta
	// torn says that one of the two roots is not valid. A power cut in the middle
	// of a commit leaves that behind, and so does damage to the newest root: only
	// the head beside the file can tell the two apart.
	torn bool
}

// inspector walks the pages of a file with plain reads, checks that each stays
// within bounds, and that none belongs to two owners.
type inspector struct {
	shape
	file  io.ReaderAt
	how   depth
	owned []uint64 // one bit a page
}

// inspect returns the shape of a file, or cellar.ErrDamaged when bbolt must not
// be let near it. The file must not change meanwhile.
func inspect(f *os.File, how depth) (shape, error) {
	info, err := f.Stat()
	if err != nil {
		return shape{}, err
	}
	s, err := findRoots(f, info.Size())
	if err != nil {
		return s, err
	}
	in := inspector{shape: s, file: f, how: how, owned: make([]uint64, s.pages/64+1)}
	if err := in.freeList(); err != nil {
		return s, err
	}
	return s, in.tree(s.root, true)
}

// findRoots reads both root pages and holds the size of the file against the
// newer one, which is the one bbolt goes by.
func findRoots(f io.ReaderAt, size int64) (shape, error) {
	first, ok0, err := metaAt(f, 0, size)
	if err != nil {
		return shape{}, err
	}
	pageSize := first.pageSize
	var second meta
	var ok1 bool
	if ok0 {
		second, ok1, err = metaAt(f, pageSize, size)
	} else {
		// The first root does not say where the second is.
		for pageSize = minPageSize; pageSize <= maxPageSize && !ok1 && err == nil; pageSize *= 2 {
			second, ok1, err = metaAt(f, pageSize, size)
			ok1 = ok1 && second.pageSize == pageSize
		}
	}
	s := shape{meta: first, torn: !ok0 || !ok1}
	switch {
	case err != nil:
		return s, err
	case !ok0 && !ok1:
		return s, damagedf("neither of its two root pages is one of a journal")
	case !ok0 || (ok1 && second.commit > first.commit):
		s.meta = second
	}
	return s, s.fits(size)
}

func metaAt(f io.ReaderAt, at, size int64) (meta, bool, error) {
	if at+pageHeader+metaSize > size {
		return meta{}, false, nil
	}
	var page [pageHeader + metaSize]byte
	if _, err := f.ReadAt(page[:], at); err != nil {
		return meta{}, false, fmt.Errorf("read a root page: %w", err)
	}
	m, ok := parseMeta(page[:])
	return m, ok, nil
}

// fits compares the size of the file with what its root says.
func (s shape) fits(size int64) error {
	switch n := s.pageSize; {
	case n < minPageSize || n > maxPageSize || n&(n-1) != 0:
		return damagedf("its root page speaks of pages of %d bytes", n)
	case size < minPages*n:
		return damagedf("the file was cut to %d bytes, less than an empty journal has", size)
	case size%n != 0:
		return damagedf("the file was cut to %d bytes, in the middle of a page", size)
	case s.pages < minPages || s.pages > uint64(size/n):
		return damagedf("the file was cut to %d bytes, its root page speaks of %d pages of %d", size, s.pages, n)
	}
	return nil
}

func damagedf(format string, args ...any) error {
	return fmt.Errorf("%w: %s", cellar.ErrDamaged, fmt.Sprintf(format, args...))
}

// own takes a page for one owner.
func (in *inspector) own(id uint64) error {
	if id < 2 || id >= in.pages {
		return damagedf("page %d is spoken of, but the file has %d", id, in.pages)
	}
	bit := uint64(1) << (id % 64)
	if in.owned[id/64]&bit != 0 {
		return damagedf("page %d is used twice", id)
	}
	in.owned[id/64] |= bit
	return nil
}

// page is one page with the pages it flows over into.
type page struct {
	id    uint64
	flags uint16
	count int
	bytes []byte
}

func parsePage(b []byte) page {
	return page{id: order.Uint64(b), flags: order.Uint16(b[8:]), count: int(order.Uint16(b[10:])), bytes: b}
}

// load reads a page, and owns it unless its parent did so already.
func (in *inspector) load(id uint64, owned bool) (page, error) {
	if !owned {
		if err := in.own(id); err != nil {
			return page{}, err
		}
	}
	b := make([]byte, in.pageSize)
	if _, err := in.file.ReadAt(b, int64(id)*in.pageSize); err != nil {
		return page{}, fmt.Errorf("read page %d: %w", id, err)
	}
	p := parsePage(b)
	if p.id != id {
		return page{}, damagedf("page %d calls itself %d", id, p.id)
	}
	more := uint64(order.Uint32(b[12:]))
	if more >= in.pages-id {
		return page{}, damagedf("page %d flows over the end of the file", id)
	}
	for next := id + 1; next <= id+more; next++ {
		if err := in.own(next); err != nil {
			return page{}, err
		}
	}
	if more > 0 {
		p.bytes = make([]byte, int64(more+1)*in.pageSize)
		if _, err := in.file.ReadAt(p.bytes, int64(id)*in.pageSize); err != nil {
			return page{}, fmt.Errorf("read page %d: %w", id, err)
		}
	}
	return p, nil
}

// freeList owns the pages that bbolt will give out next. One that is in use as
// well would be written over by a later append.
func (in *inspector) freeList() error {
	p, err := in.load(in.free, false)
	if err != nil {
		return err
	}
	if p.flags != freePage {
		return damagedf("page %d is no list of free pages", p.id)
	}
	ids := p.bytes[pageHeader:]
	n := uint64(p.count)
	if n == 0xFFFF { // a longer list keeps its length in front
		n, ids = order.Uint64(ids), ids[8:]
	}
	if n > uint64(len(ids)/8) {
		return damagedf("page %d lists more free pages than it has room for", p.id)
	}
	for ; n > 0; n, ids = n-1, ids[8:] {
		if err := in.own(order.Uint64(ids)); err != nil {
			return err
		}
	}
	return nil
}
