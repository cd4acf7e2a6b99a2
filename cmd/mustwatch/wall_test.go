package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// Where there is no screen the wall is printed once, of the size asked for.
func TestTheWallOnAPipe(t *testing.T) {
	b := newBench(t).house()
	for _, args := range [][]string{{"wall"}, {"--print", "wall"}, {"wall", "--print", "wall"}} {
		require.Equal(t, endDone, b.run(append(args, "--cols", "80", "--rows", "24")...), b.err.String())
		lines := strings.Split(strings.TrimSuffix(b.out.String(), "\n"), "\n")
		assert.Len(t, lines, 24, args)
		assert.Contains(t, b.out.String(), "NO TANK ENTRY")
		assert.Contains(t, b.out.String(), "not live")
		assert.NotContains(t, b.out.String(), "\x1b")
	}
	require.Equal(t, endDone, b.run("wall", "--ascii"), b.err.String())
	for _, r := range b.out.String() {
		require.Less(t, r, rune(0x7f), "%q", r)
	}
	require.Equal(t, endDone, b.run("wall", "--print", "board"), b.err.String())
	assert.NotContains(t, b.out.String(), "not live", "what is asked for by name goes first")
}

func TestTheWallOfTheDemo(t *testing.T) {
	b := newBench(t)
	for _, args := range [][]string{{"demo", "--wall"}, {"demo", "--print", "wall"}} {
		require.Equal(t, endDone, b.run(append(args, "--at", "22:20")...), b.err.String())
		assert.Contains(t, b.out.String(), "DEMO")
		assert.Contains(t, b.out.String(), "not live")
	}
}

// At a terminal the program begins with the wall and is otherwise the board: the
// same journal, the same flags, the same refusals.
func TestTheWallAtATerminal(t *testing.T) {
	b := newBench(t).house()
	got := shown(t, b)
	require.Equal(t, endDone, b.run("wall", "--by", "DO", "--light", "--ascii", "--station", "hall"), b.err.String())
	assert.True(t, got.Wall)
	assert.True(t, got.Light)
	assert.True(t, got.Ascii)
	assert.Equal(t, cellar.Initials("DO"), got.Person)
	assert.Equal(t, "hall", got.Station)
	assert.NotNil(t, got.Journal)
	require.Equal(t, endDone, b.run(), b.err.String())
	assert.False(t, got.Wall)
	require.Equal(t, endDone, b.run("demo", "--wall"), b.err.String())
	assert.True(t, got.Wall)
	assert.True(t, got.Demo)
	assert.Equal(t, endUsage, b.run("wall", "--by", "ZZ"))
	assert.Equal(t, endUsage, b.run("wall", "102"))
	assert.Equal(t, endUsage, b.run("wall", "--print", "hall"))
	assert.Contains(t, b.err.String(), "--print takes board, wall or sheet")
	b.env["MUSTWATCH_JOURNAL"] = b.file("none.db")
	require.Equal(t, endDone, b.run("wall"), b.err.String())
	assert.Equal(t, b.file("none.db"), got.Missing, "and the first run is told there too")
}
