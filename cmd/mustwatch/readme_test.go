package main

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestTheReadmeShowsTheBoard: the board in the README is the one its command
// prints, to the letter.
func TestTheReadmeShowsTheBoard(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, shown, ok := strings.Cut(string(readme), "mustwatch demo --print board | cat` prints it):\n\n```\n")
	require.True(t, ok, "the board is announced by its command")
	shown, _, ok = strings.Cut(shown, "\n```\n")
	require.True(t, ok)
	printed, err := exec.Command(binary, "demo", "--print", "board").Output()
	require.NoError(t, err)
	lines := strings.Split(strings.TrimRight(string(printed), "\n"), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	require.Equal(t, strings.Split(shown, "\n"), lines)
}
