package wall

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
)

// reader reads figures off the drawn cells, as a person does who knows the alphabets
// and nothing of how the wall is laid out: signs of dots with a blank column around
// them, words with wider blanks between.
type reader struct{ rows []string }

// read are the words in the figures of a strip of rows, with their left edge, in the
// first size in which every sign is known.
func (r reader) read(t *testing.T) (words []string, at []int) {
	for _, z := range inASCII {
		if words, at, ok := r.in(z); ok {
			return words, at
		}
	}
	t.Fatalf("cannot be read:\n%s", strings.Join(r.rows, "\n"))
	return nil, nil
}

func (r reader) in(z size) (words []string, at []int, ok bool) {
	gap, word := 99, ""
	for x := 0; x < len(r.rows[0]); {
		if r.blank(x) {
			x, gap = x+1, gap+1
			continue
		}
		n := 1
		for x+n < len(r.rows[0]) && !r.blank(x+n) {
			n++
		}
		sign, known := r.sign(x, n, z)
		if !known {
			return nil, nil, false
		}
		if gap > 2*z.times {
			words, at = append(words, ""), append(at, x)
		}
		word = words[len(words)-1] + string(sign)
		words[len(words)-1] = word
		x, gap = x+n, 0
	}
	return words, at, len(words) > 0
}

func (r reader) blank(x int) bool {
	for _, row := range r.rows {
		if row[x] == '#' {
			return false
		}
	}
	return true
}

// sign is what n columns of dots from x on show, if it is a sign of that size; blank
// columns at a sign's own edges are none of its dots.
func (r reader) sign(x, n int, z size) (rune, bool) {
	for s, shape := range z.set.signs {
		left, right := 0, len(shape[0])
		for left < right && columnEmpty(shape, left) {
			left++
		}
		for right > left && columnEmpty(shape, right-1) {
			right--
		}
		if (right-left)*z.times != n || len(shape)*z.times != len(r.rows) {
			continue
		}
		same := true
		for i := range r.rows {
			for j := range n {
				same = same && (r.rows[i][x+j] == '#') == (shape[i/z.times][left+j/z.times] == '#')
			}
		}
		if same {
			return s, true
		}
	}
	return 0, false
}

func columnEmpty(shape []string, c int) bool {
	for _, line := range shape {
		if line[c] == '#' {
			return false
		}
	}
	return true
}

var aTime = regexp.MustCompile(`^\+?(\d{1,2}m|\dh\d\d|\d\dh|\d{1,2}d)$|^NOW$|^MAY$`)

// TestTheWallIsRead reads the wall of the night off its cells, at several sizes: a tank
// and a press stand in brackets at the left edge, what is in none is no vessel, and
// the figures behind it are a time with its letter, so that neither is ever taken for
// the other. Minutes without a letter, as they stood there, do not pass.
func TestTheWallIsRead(t *testing.T) {
	n := 0
	for _, at := range []string{"18:40:00", "20:30:00", "22:20:00", "01:10:00", "02:10:00", "03:40:00", "06:00:00"} {
		d := desk(t, at)
		g := face.Sight{State: d.State, Now: moment(t, at), Theme: inked(termenv.Ascii), Ascii: true}
		for _, box := range []layout.Box{{W: 80, H: 24}, {W: 100, H: 30}, {W: 120, H: 40}, {W: 160, H: 50},
			{W: 200, H: 60}} {
			p := planFor(box, houseOf(g), true)
			lines := strings.Split(strings.NewReplacer("█", "#", "▀", "?", "▄",
				"?").Replace(strings.Join((&Wall{}).View(g, box), "\n")), "\n")
			shown, rest := items(g, p.places)
			require.NotEmpty(t, shown)
			for i, it := range shown {
				rows := lines[i*p.pitch : i*p.pitch+p.figures.rows()]
				says := fmt.Sprintf("%s %dx%d %+v\n%s", at, box.W, box.H, it, strings.Join(rows, "\n"))
				vessel := false
				if _, ok := d.State.Vessel(cellar.TankNumber(it.number)); ok {
					vessel = true
				}
				if _, ok := d.State.Press(cellar.TankNumber(it.number)); ok {
					vessel = true
				}
				for j, row := range rows {
					require.Equal(t, vessel, strings.HasPrefix(row[margin:], "["), says)
					require.Equal(t, vessel, strings.Contains(row, "]"), says)
					rows[j] = strings.NewReplacer("[", " ", "]", " ", "!", " ").Replace(row)[:p.word]
				}
				if _, load := d.State.Load(cellar.LoadID(it.number)); !vessel && !load { // a word, drawn as it fits
					continue
				}
				words, _ := reader{rows}.read(t)
				require.Len(t, words, 2, says)
				require.Equal(t, it.number, words[0], says)
				require.Regexp(t, aTime, words[1], says)
				n++
			}
			if len(rest) > 0 {
				require.Contains(t, strings.Join(lines, "\n"), fmt.Sprintf("and %d more", len(rest)),
					"shown and counted are all")
			}
		}
	}
	t.Logf("%d items read", n)
}

// TestANumberIsABlock: in half blocks a number is cut out of full cells, and in a row that
// is turned round it is the other way round than the row, with colours and without. A
// load stands without.
func TestANumberIsABlock(t *testing.T) {
	d := desk(t, "02:10:00")
	g := sight(t, d, "02:10:00")
	lines := (&Wall{}).View(g, layout.Box{W: 80, H: 24})
	for _, row := range []struct {
		line  int
		begin string
	}{
		{1, "██  "}, {4, "████"}, // 102, overdue: light on dark in a full row
		{6, "██ █"},                              // 0416, overdue: cut out of the row
		{11, "  ██"}, {14, "    "}, {16, "  █ "}, // 108 and 601: cut out of a block
	} {
		require.Equal(t, row.begin, string([]rune(lines[row.line])[:4]), strings.Join(lines, "\n"))
	}
	for _, p := range []termenv.Profile{termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		g.Theme = inked(p)
		lines := (&Wall{}).View(g, layout.Box{W: 80, H: 24})
		require.Regexp(t, `^\x1b\[[0-9;]+m  \x1b\[0m\x1b\[1m +▀█`, lines[1],
			"the block of an overdue tank has the screen's own look")
		require.Regexp(t, `^  \x1b\[7m *▀█`, lines[11], "the block of another one is reversed")
	}
}
