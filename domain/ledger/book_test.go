package ledger_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/ledger"
)

// A toy cellar: places are letters, each holds counted drops by colour. It is enough
// to tell order, reach and shares apart, and simple enough to be calculated twice.
type drops map[string]int

func (d drops) sum() (n int) {
	for _, x := range d {
		n += x
	}
	return n
}

type book = ledger.Book[string, drops, mark]
type line = ledger.Line[string, drops]

func sameDrops(a, b drops) bool { return maps.Equal(a, b) }

// mark counts the drops of a place: the last count is seen by whatever comes next, and
// the first one stays.
type mark struct {
	minute int
	seq    uint64
	n      int
}

func (m mark) Key() ledger.Key { return key(m.minute, m.seq) }

func seeDrops(_ string, v drops, marks []mark, from int) drops {
	out := maps.Clone(v)
	for _, m := range marks[from:] {
		out["counted"] = m.n
		if out["first"] == 0 {
			out["first"] = m.n
		}
	}
	return out
}

func newBook() *book { return ledger.New(drops{}, sameDrops, seeDrops) }

var start = time.Date(2026, 9, 24, 16, 0, 0, 0, time.UTC)

func key(minute int, seq uint64) ledger.Key {
	return ledger.Key{At: start.Add(time.Duration(minute) * time.Minute), Seq: seq}
}

// pour puts n drops of a colour into a place.
func pour(k ledger.Key, to, colour string, n int) *line {
	return &line{Key: k, Places: []string{to}, Fold: func(before []drops) []drops {
		out := maps.Clone(before[0])
		out[colour] += n
		return []drops{out}
	}}
}

// move takes up to n drops from one place to another, the colours in the order of
// their names; what is not there does not flow.
func move(k ledger.Key, from, to string, n int) *line {
	return &line{Key: k, Places: []string{from, to}, Fold: func(before []drops) []drops {
		src, dst, left := maps.Clone(before[0]), maps.Clone(before[1]), n
		for _, c := range slices.Sorted(maps.Keys(src)) {
			take := min(left, src[c])
			if src[c] -= take; src[c] == 0 {
				delete(src, c)
			}
			if take > 0 {
				dst[c] += take
			}
			left -= take
		}
		return []drops{src, dst}
	}}
}

// dye turns all that a place holds into one colour: it depends on what was there.
func dye(k ledger.Key, at, colour string) *line {
	return &line{Key: k, Places: []string{at}, Fold: func(before []drops) []drops {
		if before[0].sum() == 0 {
			return []drops{before[0]}
		}
		return []drops{{colour: before[0].sum()}}
	}}
}

var places = []string{"A", "B", "C", "D"}

// anyLine draws one line; seq makes its key unlike every other.
func anyLine(t *rapid.T, seq uint64) *line {
	p := rapid.SampledFrom(places)
	at, k := p.Draw(t, "place"), key(rapid.IntRange(0, 12).Draw(t, "minute"), seq)
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		return pour(k, at, rapid.SampledFrom([]string{"red", "white"}).Draw(t, "colour"), rapid.IntRange(0, 9).Draw(t,
			"n"))
	case 1:
		return dye(k, at, rapid.SampledFrom([]string{"red", "blue"}).Draw(t, "colour"))
	}
	to := p.Filter(func(x string) bool { return x != at }).Draw(t, "to")
	return move(k, at, to, rapid.IntRange(0, 9).Draw(t, "n"))
}

func anyLines(t *rapid.T) []*line {
	n := rapid.IntRange(1, 14).Draw(t, "lines")
	out := make([]*line, n)
	for i := range out {
		out[i] = anyLine(t, uint64(i+1))
	}
	return out
}

// plain folds lines one after another from the beginning, the way nobody can get
// wrong: what every book must agree with.
func plain(lines []*line) map[string][]drops {
	all := slices.Clone(lines)
	slices.SortFunc(all, func(a, b *line) int { return a.Key.Compare(b.Key) })
	now, out := map[string]drops{}, map[string][]drops{}
	for _, p := range places {
		now[p] = drops{}
	}
	for _, l := range all {
		before := make([]drops, len(l.Places))
		for i, p := range l.Places {
			before[i] = now[p]
		}
		for i, after := range l.Fold(before) {
			now[l.Places[i]] = after
			out[l.Places[i]] = append(out[l.Places[i]], after)
		}
	}
	return out
}

// steps is what a book says each place held after each of its lines.
func steps(b *book) map[string][]drops {
	out := map[string][]drops{}
	for _, p := range places {
		for _, after := range b.Lines(p) {
			out[p] = append(out[p], after)
		}
	}
	return out
}

func agree(t require.TestingT, b *book, lines []*line) {
	want, got := plain(lines), steps(b)
	for _, p := range places {
		require.Equal(t, fmt.Sprint(want[p]), fmt.Sprint(got[p]), "place %s", p)
	}
}

// Lines saved in any order, taken out and put in the place of others, one by one or
// several at once, are as if they had been said in order and right the first time.
func TestAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := anyLines(t)
		b := newBook()
		b.Add(rapid.Permutation(lines).Draw(t, "saved")...)
		agree(t, b, lines)

		one := newBook()
		for _, l := range rapid.Permutation(lines).Draw(t, "one by one") {
			one.Add(l)
		}
		agree(t, one, lines)
	})
}

func TestTakenOutIsNeverSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.Permutation(anyLines(t)).Draw(t, "saved")
		b := newBook()
		b.Add(lines...)
		n := rapid.IntRange(1, len(lines)).Draw(t, "out")
		b.Remove(lines[:n]...)
		agree(t, b, lines[n:])
		b.Remove(lines[:n]...) // what is not in it cannot go
		agree(t, b, lines[n:])
	})
}

func TestReplacedIsRightTheFirstTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.Permutation(anyLines(t)).Draw(t, "saved")
		b := newBook()
		b.Add(lines...)
		n := rapid.IntRange(1, len(lines)).Draw(t, "replaced")
		fresh := slices.Clone(lines)
		for i := range n {
			fresh[i] = anyLine(t, lines[i].Key.Seq)
		}
		b.Edit(lines[:n], fresh[:n])
		agree(t, b, fresh)
	})
}

// said is a line or a mark.
type said struct {
	line  *line
	place string
	mark  mark
}

func (x said) key() ledger.Key {
	if x.line != nil {
		return x.line.Key
	}
	return x.mark.Key()
}

func (x said) to(b *book) {
	if x.line != nil {
		b.Add(x.line)
	} else {
		b.Mark(x.place, x.mark)
	}
}

func (x said) outOf(b *book) {
	if x.line != nil {
		b.Remove(x.line)
	} else {
		b.Unmark(x.place, x.mark)
	}
}

func anySaid(t *rapid.T) (out []said) {
	for i := range rapid.IntRange(1, 24).Draw(t, "said") {
		if rapid.IntRange(0, 2).Draw(t, "line") == 0 {
			out = append(out, said{line: anyLine(t, uint64(i+1))})
			continue
		}
		m := mark{rapid.IntRange(0, 12).Draw(t, "minute"), uint64(i + 1), rapid.IntRange(1, 9).Draw(t, "counts")}
		out = append(out, said{place: rapid.SampledFrom(places).Draw(t, "at"), mark: m})
	}
	return out
}

// slow is what each place holds by what was said, said in order.
func slow(all []said, until int) map[string]drops {
	all = slices.Clone(all)
	slices.SortFunc(all, func(a, b said) int { return a.key().Compare(b.key()) })
	now := map[string]drops{}
	for _, p := range places {
		now[p] = drops{}
	}
	for _, x := range all {
		if x.key().At.After(key(until, 0).At) {
			break
		}
		if x.line == nil {
			now[x.place] = seeDrops("", now[x.place], []mark{x.mark}, 0)
			continue
		}
		before := make([]drops, len(x.line.Places))
		for i, p := range x.line.Places {
			before[i] = now[p]
		}
		for i, after := range x.line.Fold(before) {
			now[x.line.Places[i]] = after
		}
	}
	return now
}

func agreeNow(t require.TestingT, b *book, all []said) {
	now := slow(all, 99)
	for _, p := range places {
		require.Equal(t, fmt.Sprint(now[p]), fmt.Sprint(b.Now(p)), "place %s", p)
	}
	for _, minute := range []int{0, 5, 9} {
		then := slow(all, minute)
		for _, p := range places {
			require.Equal(t, fmt.Sprint(then[p]), fmt.Sprint(b.At(p, key(minute, 0).At)), "place %s at %d", p, minute)
		}
	}
	for _, p := range places {
		var lines, marks int
		var last ledger.Key
		for s := range b.Steps(p) {
			if s.Line != nil {
				require.Positive(t, s.Line.Key.Compare(last))
				last = s.Line.Key
				lines++
			}
			for _, m := range s.Marks {
				require.Positive(t, m.Key().Compare(last), "a mark stands where its time is")
				last = m.Key()
				marks++
			}
		}
		for _, x := range all {
			if x.line == nil && x.place == p {
				marks--
			} else if x.line != nil && slices.Contains(x.line.Places, p) {
				lines--
			}
		}
		require.Zero(t, marks)
		require.Zero(t, lines)
	}
}

// Marks and lines, saved in any order and taken out again, are as if what is left of
// them had been said in order; a draft is so too, and its book knows nothing of it.
func TestMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := rapid.Permutation(anySaid(t)).Draw(t, "saved")
		have := rapid.IntRange(0, len(all)).Draw(t, "have")
		out := rapid.IntRange(0, have).Draw(t, "out")
		b := newBook()
		for i, x := range all[:have] {
			x.to(b)
			if i%3 == 0 {
				agreeNow(t, b, all[:i+1])
			}
		}
		agreeNow(t, b, all[:have])
		change := func(b *book) {
			for _, x := range all[:out] {
				x.outOf(b)
			}
			for _, x := range all[have:] {
				x.to(b)
			}
		}
		one, two := b.Draft(), b.Draft()
		change(one)
		for _, x := range all[have:] {
			x.to(two)
		}
		agreeNow(t, one, all[out:])
		agreeNow(t, two, all)
		agreeNow(t, b, all[:have])
		twice := one.Draft()
		for _, x := range all[:out] {
			x.to(twice)
		}
		agreeNow(t, twice, all)
		agreeNow(t, one, all[out:])
		change(b)
		agreeNow(t, b, all[out:])
		b.Again()
		agreeNow(t, b, all[out:])
	})
}

// A mark at the end folds nothing, and a late one only what comes next, where that makes
// the place again what it was.
func TestMarkFoldsWhatComesNext(t *testing.T) {
	b, folds := newBook(), 0
	for i := range 100 {
		b.Add(&line{Key: key(20+2*i, uint64(i+1)), Places: []string{"A"}, Fold: func([]drops) []drops {
			folds++
			return []drops{{"red": 1}}
		}})
	}
	folds = 0
	b.Mark("A", mark{999, 1000, 7})
	require.Zero(t, folds)
	require.Equal(t, 7, b.Now("A")["counted"])
	b.Mark("A", mark{21, 1001, 7})
	require.Equal(t, 1, folds)
}

// What a draft says would be is what is once the same has been done to the book, and
// the book knows nothing of its draft. A draft may be drawn from a draft.
func TestPreviewEqualsCommit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.Permutation(anyLines(t)).Draw(t, "saved")
		have := rapid.IntRange(0, len(lines)).Draw(t, "have")
		more := rapid.IntRange(have, len(lines)).Draw(t, "more")
		out := rapid.IntRange(0, have).Draw(t, "out")
		b := newBook()
		b.Add(lines[:have]...)

		first := b.Draft()
		first.Edit(lines[:out], lines[have:more])
		second := first.Draft()
		second.Add(lines[more:]...)
		agree(t, first, lines[out:more])
		agree(t, second, lines[out:])
		agree(t, b, lines[:have])

		b.Edit(lines[:out], lines[have:more])
		agree(t, b, lines[out:more])
	})
}

// Touched names just the places where something is or was another than before.
func TestTouched(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := anyLines(t)
		b := newBook()
		b.Add(lines...)
		b.Touched()
		was := map[string]drops{}
		for _, p := range places {
			was[p] = b.Now(p)
		}
		b.Add(anyLine(t, 99))
		touched := b.Touched()
		for _, p := range places {
			if !sameDrops(was[p], b.Now(p)) {
				require.Contains(t, touched, p)
			}
		}
		require.Empty(t, b.Touched())
	})
}

func TestAtAnInstant(t *testing.T) {
	b := newBook()
	b.Add(pour(key(10, 1), "A", "red", 5), pour(key(20, 2), "A", "red", 5), move(key(20, 3), "A", "B", 4))
	require.Equal(t, drops{}, b.At("A", start.Add(9*time.Minute)))
	require.Equal(t, drops{"red": 5}, b.At("A", start.Add(10*time.Minute)))
	require.Equal(t, drops{"red": 6}, b.At("A", start.Add(20*time.Minute)), "after all that was then")
	require.Equal(t, drops{"red": 4}, b.Now("B"))
}

// A late line is folded forward only through what it reaches: not through a place
// that is again what it was.
func TestFoldStopsWhereNothingDiffers(t *testing.T) {
	folds := 0
	count := func(l *line) *line {
		fold := l.Fold
		l.Fold = func(before []drops) []drops { folds++; return fold(before) }
		return l
	}
	b := newBook()
	b.Add(count(pour(key(0, 1), "A", "red", 5)), count(dye(key(10, 2), "A", "blue")))
	for i := range 100 {
		b.Add(count(pour(key(20+i, uint64(10+i)), "A", "red", 1)), count(pour(key(20+i, uint64(200+i)), "B", "red", 1)))
	}
	folds = 0
	b.Add(count(dye(key(5, 999), "A", "white")))
	require.Equal(t, 2, folds, "itself, and the dyeing after which all is blue again")
	b.Add(count(pour(key(5, 1000), "C", "red", 1)))
	require.Equal(t, 3, folds)
}

// An entry at the end costs the same however much there is before it; see DEVELOPERS.md.
func BenchmarkAddAtTheEnd(b *testing.B) {
	for _, have := range []int{1_000, 1_000_000} {
		b.Run(fmt.Sprint(have), func(b *testing.B) {
			bk := newBook()
			for i := range have {
				bk.Add(pour(key(i, uint64(i)), places[i%len(places)], "red", 1))
			}
			b.ResetTimer()
			for i := range b.N {
				bk.Add(pour(key(have+i, uint64(have+i)), places[i%len(places)], "red", 1))
			}
		})
	}
}

// A draft costs the same, too: it takes over all that it does not change.
func BenchmarkDraftAtTheEnd(b *testing.B) {
	for _, have := range []int{1_000, 1_000_000} {
		b.Run(fmt.Sprint(have), func(b *testing.B) {
			bk := newBook()
			for i := range have {
				bk.Add(pour(key(i, uint64(i)), places[i%len(places)], "red", 1))
			}
			b.ResetTimer()
			for i := range b.N {
				bk.Draft().Add(pour(key(have+i, uint64(have+i)), places[i%len(places)], "red", 1))
			}
		})
	}
}
