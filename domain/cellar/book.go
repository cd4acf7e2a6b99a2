package cellar

import (
	"reflect"
	"slices"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/ledger"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// What vessels, presses, trailers and tubs hold follows from what was said of them, at the
// times at which it was so, and from nothing else: the book folds it. In which order it was
// saved makes no difference, and what is written late or corrected reaches the juice
// wherever that has gone since.

// place is where something can be.
type place struct {
	kind   placeKind
	number TankNumber // or the number of a load or of a product lot
}

type placeKind uint8

const (
	aVessel placeKind = iota
	aPress
	aTub
	aLoad
)

// byNumber is the vessel or the press of a number.
func (s *State) byNumber(p TankNumber) place {
	if s.presses[p] != nil {
		return place{kind: aPress, number: p}
	}
	return place{number: p}
}

func loadPlace(id LoadID) place { return place{kind: aLoad, number: TankNumber(id)} }

func tubOf(id ProductID) place { return place{kind: aTub, number: TankNumber(id)} }

// holding is what a place holds after a line, and what the line was to it. It is
// never changed once it stands in the book.
type holding struct {
	content *Content // of a vessel
	press   *Press   // of a press
	stock   *stock   // of the tubs of a product lot
	trailer *trailer // of a load
	*acts            // what people did about a vessel, nil where nothing
	items   []*Item  // the line as it stands in the account of a vessel
	flow    *Flow    // what flowed, at the place a move left
	// What of all that was said of a vessel up to here cannot have been, and how many
	// litres it leaves unexplained, without their signs: two errors hide nothing.
	faults []Fault
	astray quantity.Volume
	spilt  Spilt // what this line leaves unexplained beside its flow
}

type line = ledger.Line[place, *holding]

// flower is a fact that says what flowed, was given, read or done to what is held.
type flower interface {
	Fact
	// lines puts it into the book. A line rests on nothing but the setup of the
	// cellar, the cards of its products, and what its places held before.
	lines(s *State, e *entry) []*line
}

// entry is one record that the book has lines of, or a mark.
type entry struct {
	Record
	seq   []*line
	mark  *mark // of a reading that stands there as it was saved
	mends []mended
	taken []takenPart
	shift time.Duration // by how much its clock was off, as was found later
}

// mended is a correction of what an entry said of a vessel.
type mended struct {
	at   TankNumber
	says text.Say // which line of it
	Mend
}

// takenPart is a part of an entry that was taken back: all of it, or what it said of
// one vessel in one word.
type takenPart struct {
	all  bool
	at   TankNumber
	says text.Say
}

// when is an instant that a fact carries, by the right clock.
func (e *entry) when(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return Instant(t).Add(e.shift)
}

// book is the ledger, with what was read.
type book struct {
	*ledger.Book[place, *holding, mark]
	readings *readings
}

func (s *State) newBook() *book {
	return &book{ledger.New(nil, sameHolding, s.seen), &readings{}}
}

func (b *book) draft() *book { return &book{b.Draft(), b.readings} }

// edit puts what an entry says now in the place of what it said.
func (b *book) edit(was *entry, now []*line) {
	if was.mark != nil {
		b.Unmark(place{number: was.Fact.(*WasRead).Vessel}, *was.mark)
	}
	b.Edit(was.seq, now)
}

// sameHolding reports whether what follows from two holdings is the same.
func sameHolding(a, b *holding) bool {
	switch {
	case a == nil || b == nil:
		return a == b
	case a.content == nil || b.content == nil:
		return reflect.DeepEqual(a.press, b.press) && reflect.DeepEqual(a.stock, b.stock) &&
			reflect.DeepEqual(a.trailer, b.trailer)
	case a.acts != b.acts && !reflect.DeepEqual(a.acts, b.acts):
		return false
	}
	x, y := *a.content, *b.content
	if !x.Temps.same(y.Temps) || a.astray != b.astray || !slices.Equal(a.faults, b.faults) {
		return false
	}
	x.Temps, y.Temps = nil, nil
	return reflect.DeepEqual(x, y)
}

// next is what stands on after a line whatever that says.
func (h *holding) next() *holding {
	if h == nil {
		return &holding{}
	}
	return &holding{content: h.content, faults: h.faults, astray: h.astray, acts: h.acts}
}

// contents is what a vessel holds, as a copy to be changed.
func (h *holding) contents() *Content {
	if h == nil || h.content == nil {
		return &Content{Stage: stage.Clean}
	}
	c := *h.content
	return &c
}

// pressed is what a press holds and does, as a copy to be changed.
func (h *holding) pressed(setup PressSetup) *Press {
	if h == nil || h.press == nil {
		return &Press{PressSetup: setup, State: PressReady}
	}
	p := *h.press
	p.Parts = slices.Clone(p.Parts)
	return &p
}

// stamp gives an item what its record says of it, with what was corrected there.
func (e *entry) stamp(at time.Time, p TankNumber, it *Item) *Item {
	it.Seq, it.At, it.Written, it.By, it.Entry, it.Mended = e.Seq, at, e.Written, e.By, e.Entry, nil
	for _, m := range e.mends {
		if m.at == p && it.has(m.Field) && (e.whole() || m.says.Same(it.says())) {
			it.Mended = append(it.Mended, m.Mend)
		}
	}
	it.TakenBack = e.takenPartly(p, it)
	return it
}

// takenBack reports whether all of an entry was taken back.
func (e *entry) takenBack() bool {
	return slices.ContainsFunc(e.taken, func(x takenPart) bool { return x.all })
}

// takenPartly reports whether an item was taken back, with its entry or by itself.
func (e *entry) takenPartly(p TankNumber, it *Item) bool {
	return slices.ContainsFunc(e.taken, func(x takenPart) bool {
		return x.all || x.at == p && x.says.Same(it.says())
	})
}

// line makes a line of several places.
func (e *entry) line(at time.Time, sub int, fold func(before []*holding) []*holding, places ...place) *line {
	return &line{Key: ledger.Key{At: at, Rank: e.turn(), Seq: uint64(e.Seq), Sub: sub}, Places: places, Fold: fold}
}

// on makes the line of an item in the account of one vessel.
func (s *State) on(e *entry, at time.Time, sub int, p TankNumber, it *Item) []*line {
	v := s.vessels[p]
	if v == nil {
		return nil
	}
	e.stamp(at, p, it)
	return []*line{e.line(at, sub, func(before []*holding) []*holding {
		return []*holding{posted(v.VesselSetup, before[0], it)}
	}, place{number: p})}
}

// posted is what a vessel holds after items.
func posted(v VesselSetup, before *holding, items ...*Item) *holding {
	h := before.next()
	h.content, h.items = before.contents(), items
	for i, it := range items {
		if it.TakenBack {
			continue
		}
		was := *h.content
		if it.Dose != nil && it.Dose.ByRate {
			x, d := *it, it.Dose.onHeld(was.Volume)
			x.Dose, it = &d, &x
			h.items = slices.Clone(h.items)
			h.items[i] = it
		}
		h.content.take(v, it)
		h.bounded(v, it, &was)
	}
	return h
}

// press makes the line of what a press does.
func (s *State) press(e *entry, p TankNumber, do func(p *Press)) []*line {
	x := s.presses[p]
	if x == nil {
		return nil
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		after := before[0].pressed(x.PressSetup)
		if !e.takenBack() {
			do(after)
		}
		return []*holding{{press: after}}
	}, place{kind: aPress, number: p})}
}

// enter takes a fact into the book.
func (s *State) enter(r Record, f flower) *entry {
	e := &entry{Record: r}
	s.said = append(s.said, e)
	e.seq = f.lines(s, e)
	s.book.Add(e.seq...)
	s.refresh(r)
	return e
}

// mark takes a reading into the book; ok is false where it is a line like any other.
func (s *State) mark(r Record, f *WasRead) bool {
	if s.vessels[f.Vessel] == nil {
		return false
	}
	m, ok := s.book.readings.take(r, f)
	if ok {
		s.book.Mark(place{number: f.Vessel}, m)
		s.refresh(r)
	}
	return ok
}

// saidAt is where an entry stands among those that are lines, or would stand.
func (s *State) saidAt(seq Seq) int {
	return sort.Search(len(s.said), func(i int) bool { return s.said[i].Seq >= seq })
}

// entryOf finds what the book has of a record, or nil.
func (s *State) entryOf(seq Seq) *entry {
	if i := s.saidAt(seq); i < len(s.said) && s.said[i].Seq == seq {
		return s.said[i]
	}
	return s.book.readings.entryOf(seq)
}

// again makes the lines of an entry once more, for a draft or for the book itself.
func (e *entry) again(s *State) []*line {
	f, ok := e.Fact.(flower)
	if !ok {
		return nil
	}
	return f.lines(s, e)
}

// refresh brings vessels, presses and their clocks to what the book says of them now.
func (s *State) refresh(r Record) { s.refreshed(r, s.book.Touched()) }

func (s *State) refreshed(r Record, changed []place) {
	inOrderOfPlaces(changed)
	for _, p := range changed {
		h := s.book.Now(p)
		switch p.kind {
		case aPress:
			if x := s.presses[p.number]; x != nil {
				*x = *h.pressed(x.PressSetup)
			}
		case aTub:
			if x := s.products[ProductID(p.number)]; x != nil {
				h.tub().into(x)
			}
		case aLoad:
			s.brings(LoadID(p.number), h.onTrailer())
		default:
			if v := s.vessels[p.number]; v != nil {
				if s.heldBefore(p.number) == nil {
					s.was = append(s.was, &held{number: p.number, Content: v.Now, amiss: v.amiss})
				}
				v.Now, v.amiss, v.Hold = *h.contents(), h.amiss(), h.hold()
			}
		}
	}
	s.changed = append(s.changed, changed...)
}

// Account goes over what an account says beside its readings, by true time, each item
// with what the vessel held before its line.
func (v *Vessel) Account(yield func(before *Content, it *Item) bool) {
	before := &Content{Stage: stage.Clean}
	for _, h := range v.book.Lines(place{number: v.Number}) {
		for _, it := range h.items {
			if !yield(before, it) {
				return
			}
		}
		before = h.content
	}
}

// Latest goes over the account of a vessel from its latest item to its first, until
// yield has seen enough.
func (v *Vessel) Latest(yield func(*Item) bool) {
	for step := range v.book.Back(place{number: v.Number}) {
		for _, m := range slices.Backward(step.Marks) {
			if !yield(v.book.readings.item(m)) {
				return
			}
		}
		if step.Line == nil {
			return
		}
		for _, it := range slices.Backward(step.After.items) {
			if !yield(it) {
				return
			}
		}
	}
}

// latestSaid goes over what an account says beside its readings, from the latest to the
// first.
func (v *Vessel) latestSaid(yield func(*Item) bool) {
	for step := range v.book.Back(place{number: v.Number}) {
		if step.Line == nil {
			return
		}
		for _, it := range slices.Backward(step.After.items) {
			if !yield(it) {
				return
			}
		}
	}
}

// said is what an entry says of a vessel, by true time.
func (v *Vessel) said(e *entry) (out []*Item) {
	if e.mark != nil && e.Fact.(*WasRead).Vessel == v.Number {
		return []*Item{v.book.readings.item(*e.mark)}
	}
	own := place{number: v.Number}
	lines := slices.DeleteFunc(slices.Clone(e.seq), func(l *line) bool { return !slices.Contains(l.Places, own) })
	slices.SortFunc(lines, func(a, b *line) int { return a.Key.Compare(b.Key) })
	for _, l := range lines {
		if _, h, ok := v.book.Around(own, l); ok {
			out = append(out, h.items...)
		}
	}
	return out
}

// upTo returns the content as it stood just after t.
func (v *Vessel) upTo(t time.Time) Content {
	return *v.book.At(place{number: v.Number}, t).contents()
}

// outlook is the cellar as it would be with more said of it.
type outlook struct {
	s     *State
	book  *book
	then  *State // of a batch: all that would be
	all   bool   // it may reach what it says something of as well: corrections, a batch
	flows []*line
	other []TankNumber // the vessels that would be other than they are, once asked for
	press []TankNumber // and the presses
	asked bool
}

// after is how the cellar will be with facts that are about to be written.
func (d *decision) after(facts ...Fact) *outlook {
	o := &outlook{s: d.s, book: d.s.book.draft()}
	for i, f := range facts {
		if x, ok := f.(flower); ok {
			lines := x.lines(d.s, &entry{Record: Record{Seq: d.s.Seq + 1 + Seq(i), At: d.at, Written: d.now,
				By: d.head.By, Entry: d.head.Entry, Turn: d.turn, Fact: f}})
			o.book.Add(lines...)
			o.flows = append(o.flows, lines...)
		}
	}
	return o
}

// vessel is a vessel as it would be.
func (o *outlook) vessel(p TankNumber) *Vessel {
	v := o.s.vessels[p]
	if v == nil {
		return nil
	}
	h := o.book.Now(place{number: p})
	return &Vessel{VesselSetup: v.VesselSetup, Hold: h.hold(), Now: *h.contents(), amiss: h.amiss(), book: o.book}
}

// flow is what would flow by a move that was said.
func (o *outlook) flow() *Flow {
	for _, l := range o.flows {
		if _, h, ok := o.book.Around(l.Places[0], l); ok && h.flow != nil {
			return h.flow
		}
	}
	return nil
}

// touched are the vessels that would be other than they are, in number order.
func (o *outlook) touched() []TankNumber {
	if o.asked {
		return o.other
	}
	at := o.book.Touched()
	if o.then != nil {
		at = o.then.changed
	}
	for _, p := range o.s.vesselOrder {
		if slices.Contains(at, place{number: p}) {
			o.other = append(o.other, p)
		}
	}
	for _, p := range o.s.pressOrder {
		if slices.Contains(at, place{kind: aPress, number: p}) {
			o.press = append(o.press, p)
		}
	}
	o.asked = true
	return o.other
}

// presses are the presses that would be other than they are.
func (o *outlook) presses() []TankNumber {
	o.touched()
	return o.press
}

// lineOf is the line of the outlook that touches a vessel, or nil.
func (o *outlook) lineOf(p TankNumber) *line {
	for _, l := range o.flows {
		if slices.Contains(l.Places, place{number: p}) {
			return l
		}
	}
	return nil
}

// held is what a vessel held before the record that is being applied, or before the first
// of its batch, and whether anything of that says something of another place or time.
type held struct {
	number TankNumber
	Content
	amiss   amiss
	reached bool // from another place, or by a correction
	late    bool
	old     bool // so old that a sheet may have said otherwise
}

func (s *State) heldBefore(p TankNumber) *held {
	for _, w := range s.was {
		if w.number == p {
			return w
		}
	}
	return nil
}

// elsewhere notes what of other places and times a record has changed.
func (s *State) elsewhere(r Record, changed []place) {
	_, corrected := r.Fact.(*Corrected)
	for _, p := range changed {
		if w := s.heldBefore(p.number); w != nil && p.kind == aVessel {
			w.reached = w.reached || corrected || s.reaches(r, p.number)
			w.late = w.late || s.vessels[p.number].late(r.At)
			w.old = w.old || s.onSheet(r.At)
		}
	}
}

// foldedAgain folds all again by what lines rest on beside the book: the cards of the
// products, the setup of the house.
func (s *State) foldedAgain(r Record) {
	s.book.Again()
	s.book.Touched()
	var all []place
	for _, p := range s.vesselOrder {
		all = append(all, place{number: p})
	}
	for _, p := range s.pressOrder {
		all = append(all, place{kind: aPress, number: p})
	}
	for _, p := range s.productOrder {
		all = append(all, tubOf(p))
	}
	s.refreshed(r, all)
}
