package board

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/tui/cell"
)

func TestBrief(t *testing.T) {
	for _, c := range []struct{ name, short string }{
		{"Chardonnay", "Chardonnay"}, {"Grenache rosé", "Gren. rosé"}, {"Gewürztraminer", "Gewürztr."},
		{"0415 Sauvignon", "0415 Sauv."},
		{"0412 Pinot Noir", "0412 Pinot"}, {"Cabernet Sauvignon", "Cab. Sau."}, {"0418+0419 Riesling", "0418+0419"},
		{"0415+0416+0417 Syrah", "0415+0416+0417"}, {"", ""}, {"梅梅梅梅梅梅", "梅梅梅梅."},
	} {
		assert.Equal(t, c.short, brief(c.name, shortName))
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[A-Za-zéß]{1,14}( [A-Za-zéß]{1,14}){0,4}`).Draw(t, "name")
		for _, w := range []int{shortName, longName} {
			short := brief(name, w)
			require.LessOrEqual(t, cell.Width(short), w, name)
			require.NotContains(t, short, cell.Cut)
			if cell.Width(name) <= w {
				require.Equal(t, name, short, "what fits is left alone")
			}
		}
	})
}

// TestColumnsAreGivenInOrder: whatever is in them, columns have their full measure or
// no place at all, none before its turn, none on another, and the row is never wider
// than its room. A wider room never takes a column away.
func TestColumnsAreGivenInOrder(t *testing.T) {
	turn := append(append([]int{}, given...), colWhose, colSince, colFacts)
	rapid.Check(t, func(t *rapid.T) {
		z := leastWide
		z.number += rapid.IntRange(0, 4).Draw(t, "number")
		for c, most := range [colFacts]int{colName: 4, colSize: 5, colFill: 1, colTemp: 2, colCheck: 9, colAge: 8,
			colSays: 10, colWhose: 3, colSince: 14} {
			z.cols[c] += rapid.IntRange(0, most).Draw(t, "more")
		}
		z.long = z.cols[colName] + rapid.IntRange(0, 14).Draw(t, "long")
		z.cols[colFacts] = rapid.SampledFrom([]int{0, factsFrom}).Draw(t, "facts")
		w := rapid.IntRange(78, 200).Draw(t, "w")
		g, wider := z.fit(w), z.fit(w+1)
		end, out := gutterW+signsW+1+z.number, false
		for c := range columns {
			if g.w[c] == 0 {
				continue
			}
			require.Greater(t, g.at[c], end, "a blank is before column %d", c)
			end = g.at[c] + g.w[c]
		}
		require.LessOrEqual(t, end, w)
		for _, c := range turn {
			if z.cols[c] == 0 {
				continue
			}
			least := z.cols[c]
			if c == colSays {
				least = min(least, leastWide.cols[colSays]) // longer phrases go on below
			}
			if c == colAge && g.shared {
				out = true
				continue
			}
			if g.w[c] == 0 {
				out = true
				continue
			}
			require.False(t, out, "column %d has a place before one that is due before it", c)
			require.GreaterOrEqual(t, g.w[c], least, "column %d has its measure", c)
		}
		require.False(t, g.shared && g.w[colCheck] < z.cols[colAge] && g.w[colCheck] > 0,
			"an age has room where it stands")
		for c := range columns {
			if z.cols[c] > 0 { // the ages leave the column of a word that nobody has said
				require.False(t, g.w[c] > 0 && wider.w[c] == 0, "column %d goes in a wider room", c)
			}
		}
		require.GreaterOrEqual(t, wider.w[colSays], g.w[colSays], "the phrase is never narrower in a wider room")
	})
}
