package journal

import "bytes"

// maxLevels bounds a walk down: pages of 4096 bytes hold more records in six
// levels than a cellar writes in a lifetime.
const maxLevels = 12

// tree walks the tree of one bucket. The root bucket holds the buckets of the
// journal, which are walked in turn; they hold none themselves.
func (in *inspector) tree(root uint64, buckets bool) error {
	levels, err := in.levels(root)
	if err != nil {
		return err
	}
	if err := in.own(root); err != nil {
		return err
	}
	return in.subtree(root, levels, buckets, true)
}

// levels counts the branch pages above the leaves by going down on the left. All
// leaves are equally deep, so that the walk knows a leaf without reading it.
func (in *inspector) levels(id uint64) (int, error) {
	for n := range maxLevels {
		if id < 2 || id >= in.pages {
			return 0, damagedf("page %d is spoken of, but the file has %d", id, in.pages)
		}
		var b [pageHeader + elementSize]byte
		if _, err := in.file.ReadAt(b[:], int64(id)*in.pageSize); err != nil {
			return 0, err
		}
		p := parsePage(b[:])
		switch p.flags {
		case leafPage:
			return n, nil
		case branchPage:
			id = order.Uint64(b[pageHeader+8:])
		default:
			return 0, damagedf("page %d is of no kind that holds records (%#x)", id, p.flags)
		}
	}
	return 0, damagedf("the tree of pages has no end")
}

// subtree walks a page, which its parent owns already, and what hangs from it.
// last says that nothing stands to its right.
func (in *inspector) subtree(id uint64, levels int, buckets, last bool) error {
	if levels == 0 && !buckets && !last && in.how == spine {
		return nil
	}
	p, err := in.load(id, true)
	if err != nil {
		return err
	}
	if levels == 0 {
		return in.leaf(p, buckets)
	}
	if p.flags != branchPage || p.count == 0 {
		return damagedf("page %d is no branch with leaves", id)
	}
	elements, err := p.elements()
	if err != nil {
		return err
	}
	for i, e := range elements {
		if err := in.own(e.page); err != nil {
			return err
		}
		if err := in.subtree(e.page, levels-1, buckets, last && i == len(elements)-1); err != nil {
			return err
		}
	}
	return nil
}

// leaf checks a leaf and, in the root bucket, walks the buckets it holds.
func (in *inspector) leaf(p page, buckets bool) error {
	if p.flags != leafPage {
		return damagedf("page %d is no leaf", p.id)
	}
	elements, err := p.elements()
	if err != nil {
		return err
	}
	for _, e := range elements {
		if !buckets && e.flags == 0 {
			continue
		}
		if !buckets || e.flags != 1 || len(e.value) < bucketSize {
			return damagedf("page %d holds something that is no record", p.id)
		}
		if err := in.bucket(e.value); err != nil {
			return err
		}
	}
	return nil
}

// bucket walks a bucket, which is a tree of its own or, while it is small, a
// leaf within the value that names it.
func (in *inspector) bucket(value []byte) error {
	if root := order.Uint64(value); root != 0 {
		return in.tree(root, false)
	}
	inline := value[bucketSize:]
	if len(inline) < pageHeader {
		return damagedf("a bucket is cut short")
	}
	return in.leaf(parsePage(inline), false)
}

// element is one entry of a leaf (flags, key, value) or of a branch (key, page).
type element struct {
	flags uint32
	key   []byte
	value []byte
	page  uint64
}

// elements reads the entries of a leaf or a branch. Each must lie within the
// page and behind the table of entries, and the keys must rise.
func (p page) elements() ([]element, error) {
	table := pageHeader + p.count*elementSize
	if table > len(p.bytes) {
		return nil, damagedf("page %d has no room for its %d entries", p.id, p.count)
	}
	out := make([]element, p.count)
	for i := range out {
		at := pageHeader + i*elementSize
		b := p.bytes[at:]
		var e element
		var start, keyLen, valueLen uint64
		if p.flags == branchPage {
			start, keyLen, e.page = uint64(order.Uint32(b)), uint64(order.Uint32(b[4:])), order.Uint64(b[8:])
		} else {
			e.flags, start = order.Uint32(b), uint64(order.Uint32(b[4:]))
			keyLen, valueLen = uint64(order.Uint32(b[8:])), uint64(order.Uint32(b[12:]))
		}
		start += uint64(at)
		end := start + keyLen + valueLen
		if keyLen == 0 || start < uint64(table) || end > uint64(len(p.bytes)) {
			return nil, damagedf("entry %d of page %d lies outside of it", i, p.id)
		}
		e.key = p.bytes[start : start+keyLen]
		e.value = p.bytes[start+keyLen : end]
		if i > 0 && bytes.Compare(out[i-1].key, e.key) >= 0 {
			return nil, damagedf("entry %d of page %d is out of order", i, p.id)
		}
		out[i] = e
	}
	return out, nil
}
