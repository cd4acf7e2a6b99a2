package cellar

import (
	"math"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/ledger"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/tank"
)

// Most of what a season says are readings: two probes a minute make a million of them.
// They are kept as numbers in rows, without a pointer that anybody would have to
// follow, and stand in the book as marks. One that does not fit, with words in it, or
// that was corrected or taken back, is a line like any other.

// measure says which values a reading has.
type measure uint8

const (
	hasTemp measure = 1 << iota
	hasDensity
	hasBrix
	hasNTU
	hasPH
	hasDip
	hasStick
	measures = iota
)

// mark is a reading in the book.
type mark struct {
	at   int64 // true time, seconds
	seq  Seq
	temp quantity.Celsius
	row  uint32
	has  measure
}

func (m mark) time() time.Time { return time.Unix(m.at, 0).UTC() }

// Key implements ledger.Mark.
func (m mark) Key() ledger.Key {
	return ledger.Key{At: m.time(), Rank: int(m.seq) * perRecord, Seq: uint64(m.seq)}
}

// row is a reading as it was saved.
type row struct {
	seq         Seq
	at, written int64  // seconds; at as it was saved
	value       uint32 // of its values the first
	entry       uint32 // by name
	number, by  uint16
	has         measure
	line        bool // it was corrected or taken back, and is a line since
}

// readings are all readings that fit, in the order of the journal.
type readings struct {
	rows   long[row]
	of     map[uint32][]uint32 // the rows of each vessel, by the number of its name
	values long[uint64]
	names  map[string]uint32
	named  []string
	shifts []shifted
}

// shifted is a time that was corrected: what was saved before was off by so much.
type shifted struct {
	seq Seq
	by  time.Duration
}

// name gives a text a number.
func (r *readings) name(s string) uint32 {
	n, ok := r.names[s]
	if !ok {
		if r.names == nil {
			r.names = map[string]uint32{}
		}
		n = uint32(len(r.named))
		r.named, r.names[s] = append(r.named, s), n
	}
	return n
}

// take keeps a reading; ok is false where it does not fit.
func (r *readings) take(rec Record, f *WasRead) (m mark, ok bool) {
	number, by, entry := r.name(string(f.Vessel)), r.name(string(rec.By)), r.name(rec.Entry)
	if f.Words != "" || rec.Turn != 0 || number > math.MaxUint16 || by > math.MaxUint16 ||
		r.values.n > math.MaxUint32-measures ||
		rec.At.Nanosecond() != 0 || rec.Written.Nanosecond() != 0 {
		return m, false
	}
	x := row{seq: rec.Seq, at: rec.At.Unix(), written: rec.Written.Unix(), value: uint32(r.values.n), entry: entry,
		number: uint16(number), by: uint16(by)}
	has := func(which measure, v *float64) {
		if v != nil {
			x.has |= which
			r.values.add(math.Float64bits(*v))
		}
	}
	has(hasTemp, (*float64)(f.Temp))
	has(hasDensity, (*float64)(f.Density))
	has(hasBrix, f.Brix)
	has(hasNTU, f.Turbidity)
	has(hasPH, f.PH)
	if f.Volume != nil {
		x.has |= hasDip
		r.values.add(uint64(*f.Volume))
	}
	has(hasStick, (*float64)(f.Stick))
	m = mark{at: x.at, seq: x.seq, row: uint32(r.rows.n), has: x.has}
	if f.Temp != nil {
		m.temp = *f.Temp
	}
	if r.of == nil {
		r.of = map[uint32][]uint32{}
	}
	r.of[number] = append(r.of[number], m.row)
	r.rows.add(x)
	return m, true
}

// measured is what was read, as the fact said it.
func (r *readings) measured(x *row) (m Measured) {
	n := int(x.value)
	has := func(which measure) *float64 {
		if x.has&which == 0 {
			return nil
		}
		v := math.Float64frombits(*r.values.at(n))
		n++
		return &v
	}
	m.Temp, m.Density = (*quantity.Celsius)(has(hasTemp)), (*quantity.Density)(has(hasDensity))
	m.Brix, m.Turbidity, m.PH = has(hasBrix), has(hasNTU), has(hasPH)
	if x.has&hasDip != 0 {
		v := quantity.Volume(*r.values.at(n))
		m.Volume = &v
		n++
	}
	m.Stick = (*tank.Length)(has(hasStick))
	return m
}

// record is the record that said it, by the clock that it was saved by.
func (r *readings) record(x *row) Record {
	return Record{Seq: x.seq, At: time.Unix(x.at, 0).UTC(), Written: time.Unix(x.written, 0).UTC(),
		By: Initials(r.named[x.by]), Entry: r.named[x.entry],
		Fact: &WasRead{Vessel: TankNumber(r.named[x.number]), Measured: r.measured(x)}}
}

// item is a reading as it stands in the account of its vessel.
func (r *readings) item(m mark) *Item {
	rec := r.record(r.rows.at(int(m.row)))
	return &Item{Seq: m.seq, At: m.time(), Written: rec.Written, By: rec.By, Entry: rec.Entry,
		Reading: &rec.Fact.(*WasRead).Measured}
}

// entry is a reading as an entry of the book, to be corrected or looked at; nil where
// the record is none.
func (r *readings) entryOf(seq Seq) *entry {
	n := sort.Search(r.rows.n, func(i int) bool { return r.rows.at(i).seq >= seq })
	if n == r.rows.n || r.rows.at(n).seq != seq {
		return nil
	}
	x := r.rows.at(n)
	e := &entry{Record: r.record(x), shift: r.off(seq)}
	e.At = e.At.Add(e.shift)
	m := mark{at: e.At.Unix(), seq: seq, row: uint32(n), has: x.has}
	if t := e.Fact.(*WasRead).Temp; t != nil {
		m.temp = *t
	}
	e.mark = &m
	return e
}

// off is by how much the clock was off, as was found since, by which a record was saved.
func (r *readings) off(seq Seq) (by time.Duration) {
	for _, x := range r.shifts {
		if x.seq > seq {
			by += x.by
		}
	}
	return by
}

// seen is what a place holds with what was read of it. h has the first marks in it
// already, up to from.
func (s *State) seen(p place, h *holding, marks []mark, from int) *holding {
	c := h.contents()
	var last [measures]int // of each value the latest, from 1
	density := 0
	for i := from; i < len(marks); i++ {
		if marks[i].has == hasTemp {
			last[0] = i + 1
			continue
		}
		for n := range last {
			if marks[i].has&(1<<n) != 0 {
				last[n] = i + 1
			}
		}
		if density == 0 && marks[i].has&hasDensity != 0 {
			density = i + 1
		}
	}
	// The first density of all, and then the latest of each value: what is read in
	// passing is corrected by what comes after.
	had, wanted := c.Temps, append([]int{density, len(marks)}, last[:]...)
	sort.Ints(wanted)
	for n, i := range wanted {
		if i > 0 && i != wanted[n-1] {
			it := s.book.readings.item(marks[i-1])
			c.read(it)
			c.gaugeDip(it, s.brim(p))
		}
	}
	c.Looked, c.Temps = marks[len(marks)-1].time(), had
	if i := last[0]; i > 0 {
		c.Temps = had.with(marks[:i], from)
	}
	out := h.next()
	out.content = c
	return out
}

func (s *State) brim(p place) quantity.Volume {
	if v := s.vessels[p.number]; v != nil {
		return v.Brim
	}
	return 0
}

// long is a list that grows without being copied.
type long[T any] struct {
	parts [][]T
	n     int
}

const longPart = 4096

func (l *long[T]) add(x T) {
	if l.n%longPart == 0 {
		l.parts = append(l.parts, make([]T, 0, longPart))
	}
	p := &l.parts[l.n/longPart]
	*p = append(*p, x)
	l.n++
}

func (l *long[T]) at(i int) *T { return &l.parts[i/longPart][i%longPart] }
