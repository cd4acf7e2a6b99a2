package cellar

import (
	"iter"
	"slices"
	"sort"
	"strconv"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// Correctable is one value that can be corrected, for a person to choose from.
type Correctable struct {
	Of        Seq
	At        time.Time
	By        Initials
	Vessel    TankNumber
	From      TankNumber // the vessel or press it ran out of
	Press     TankNumber // that was filled
	Place     string     // of a gas reading, or the load: they have no vessel
	Load      LoadID
	Subject   subject.Ref // of what no account of a vessel tells
	Field     string
	Value     string // as it can be typed, with its unit and nothing rounded away
	Says      string // what the entry was
	TakenBack bool
	Written   time.Time
}

// opens reports whether an entry is the opening, or sets a vessel up.
func (s *State) opens(seq Seq) bool {
	e := s.entryOf(seq)
	if e == nil {
		return false
	}
	_, sets := e.Fact.(setup)
	return sets || !e.whole()
}

// WholeEntry is the field of a line that has no value: its time can be corrected, and it
// can be taken back.
const WholeEntry = "entry"

// About reports whether a value is of a vessel or press: its own, or of what ran out of
// it.
func (c Correctable) About(p TankNumber) bool {
	return p != "" && (c.Vessel == p || c.From == p || c.Press == p)
}

// Act reports whether it is something done or said that has no value: it can be taken
// back or, in the ledger, be given another time.
func (c Correctable) Act() bool { return !c.Subject.IsZero() && c.Field == WholeEntry }

// Correctables goes over what can be corrected, latest saved first: what was said of
// vessels, of loads, of what went into presses, and of gas. What is about but is left
// out.
func (s *State) Correctables(but TankNumber) iter.Seq[Correctable] {
	rows, said := &s.book.readings.rows, s.said
	not, known := s.book.readings.names[string(but)]
	var loads []Seq
	for _, l := range s.Loads {
		loads = append(loads, l.Seq)
	}
	slices.Sort(loads)
	return s.correctables(but, false,
		tape{len(said), func(i int) Seq { return said[i].Seq }},
		tape{len(loads), func(i int) Seq { return loads[i] }},
		tape{len(s.gas), func(i int) Seq { return s.gas[i].Seq }},
		tape{len(s.asides), func(i int) Seq { return s.asides[i].Seq }},
		tape{rows.n, func(i int) Seq {
			if x := rows.at(i); !known || uint32(x.number) != not {
				return x.seq
			}
			return 0
		}})
}

// CorrectablesOf goes over those of one vessel or press, latest saved first, with what
// ran out of it and stands in the account of where it went. It looks at nothing that
// was said of others.
func (s *State) CorrectablesOf(p TankNumber) iter.Seq[Correctable] {
	var said []Seq
	for _, at := range []place{{number: p}, {kind: aPress, number: p}} {
		for l := range s.book.Lines(at) {
			said = append(said, Seq(l.Key.Seq))
		}
	}
	for _, a := range s.asides {
		if l := a.Fact.(aside).named(s); l.of == vesselRef(p) || l.of == pressRef(p) {
			said = append(said, a.Seq)
		}
	}
	slices.Sort(said)
	r := s.book.readings
	rows := r.of[r.names[string(p)]]
	return s.correctables(p, true,
		tape{len(said), func(i int) Seq { return said[i] }},
		tape{len(rows), func(i int) Seq { return r.rows.at(int(rows[i])).seq }})
}

// CorrectablesOfLoad lists those of a load, latest saved first.
func (s *State) CorrectablesOfLoad(id LoadID) (out []Correctable) {
	var said []Seq
	for l := range s.book.Lines(loadPlace(id)) {
		said = append(said, Seq(l.Key.Seq))
	}
	slices.Sort(said)
	for _, seq := range slices.Backward(said) {
		out = append(out, s.CorrectablesIn(seq)...)
	}
	return out
}

// tape is a list of records in the order of the journal; one that is left out is 0.
type tape struct {
	n  int
	at func(i int) Seq
}

// correctables goes over what can be corrected of the records of several tapes, latest
// first: what is about a vessel or press, or what is not.
func (s *State) correctables(p TankNumber, about bool, tapes ...tape) iter.Seq[Correctable] {
	return func(yield func(Correctable) bool) {
		for {
			last := Seq(0)
			for i := range tapes {
				for t := &tapes[i]; t.n > 0; t.n-- {
					if seq := t.at(t.n - 1); seq != 0 {
						last = max(last, seq)
						break
					}
				}
			}
			if last == 0 {
				return
			}
			for i := range tapes {
				for t := &tapes[i]; t.n > 0 && t.at(t.n-1) == last; {
					t.n--
				}
			}
			for _, c := range s.CorrectablesIn(last) {
				if c.About(p) == about && !yield(c) {
					return
				}
			}
		}
	}
}

// CorrectablesIn lists what can be corrected of one record.
func (s *State) CorrectablesIn(seq Seq) (out []Correctable) {
	if e := s.entryOf(seq); e != nil {
		for _, v := range s.saysOf(e) {
			for _, it := range v.said(e) {
				out = append(out, s.correctablesOf(v.Number, it)...)
			}
		}
	}
	out = slices.Concat(out, s.correctableGas(seq), s.correctableLoads(seq), s.correctableFills(seq))
	return slices.Concat(out, s.correctableLines(s.entryOf(seq), len(out) > 0), s.correctableAsides(seq))
}

// saysOf are the vessels that an entry says something of.
func (s *State) saysOf(e *entry) (out []*Vessel) {
	if e.mark != nil {
		return []*Vessel{s.vessels[e.Fact.(*WasRead).Vessel]}
	}
	for _, l := range e.seq {
		for _, p := range l.Places {
			if v := s.vessels[p.number]; v != nil && p.kind == aVessel && !slices.Contains(out, v) {
				out = append(out, v)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return numberLess(out[i].Number, out[j].Number) })
	return out
}

func (s *State) correctablesOf(p TankNumber, it *Item) (out []Correctable) {
	if it.TakenBack {
		return nil
	}
	c := Correctable{Of: it.Seq, At: it.At, By: it.By, Vessel: p, From: it.from(),
		Says: s.At(it.At).Words(it.says()), Written: it.Written}
	for _, f := range it.fields(s.House.Units) {
		c.Field, c.Value = f.name, f.value
		out = append(out, c)
	}
	words := it.Reading != nil && len(out) == 0
	stands := it.Stage != nil && !it.Stage.Stage.Empty() // at the opening its time can be corrected
	if stands || words || !s.opens(it.Seq) && (it.Stage != nil || it.Begun != nil || it.Read != nil || it.Drop != nil) {
		c.Field, c.Value = WholeEntry, s.At(it.At).Words(it.says())
		out = append(out, c)
	}
	return out
}

// places writes a number with so many decimals, or with all it has.
func places(x float64, decimals int) string {
	all := strconv.FormatFloat(x, 'f', -1, 64)
	if s := strconv.FormatFloat(x, 'f', decimals, 64); len(s) > len(all) {
		return s
	}
	return all
}

// fieldValue is a value as it can be typed, with nothing of it rounded away.
type fieldValue struct{ name, value string }

func (it *Item) fields(sys quantity.System) []fieldValue {
	switch {
	case it.In != nil && it.In.Reads > 0: // typed as what the vessel holds, so corrected as that
		return []fieldValue{{"holds", it.In.Reads.Full(sys)}}
	case it.In != nil && it.In.Volume > 0:
		return []fieldValue{{"volume", it.In.Volume.Full(sys)}}
	case it.Out != nil && it.Out.Sent != nil:
		return []fieldValue{{"volume", it.Out.Sent.Volume.Full(sys)}}
	case it.Dose != nil:
		return []fieldValue{{"amount", it.Dose.Drawn.Full(sys)}}
	case it.Reading != nil:
		var out []fieldValue
		m := it.Reading
		add := func(ok bool, name string, value func() string) {
			if ok {
				out = append(out, fieldValue{name, value()})
			}
		}
		add(m.Temp != nil, "temp", func() string { return m.Temp.Full(sys) })
		add(m.Density != nil, "density", func() string { return m.Density.String() })
		add(m.Turbidity != nil, "ntu", func() string { return places(*m.Turbidity, 0) })
		add(m.Brix != nil, "brix", func() string { return places(*m.Brix, 1) })
		add(m.PH != nil, "ph", func() string { return places(*m.PH, 2) })
		add(m.Volume != nil, "dip", func() string { return m.Volume.Full(sys) })
		return out
	}
	return nil
}

// from is the vessel or press an inflow ran out of, "" for anything else.
func (it *Item) from() TankNumber {
	if it.In == nil || it.In.From.Kind != subject.Vessel && it.In.From.Kind != subject.Press {
		return ""
	}
	return TankNumber(it.In.From.Name)
}
