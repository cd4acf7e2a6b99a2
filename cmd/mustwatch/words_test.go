package main

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/testdata"
)

// givenUp are words that the glossary of the program has another one for.
var givenUp = regexp.MustCompile(`(?i)\b(reckon\w*|mash|plates?|press fraction|main juice|str(?:ike|uck) ` +
	`out|anew|nought|` +
	`put off|put right|all the same|seen by|sown?|unsown|vat|drawing off|cap rising|no route|go(?:es)? on all the same|` +
	`rules are asked|stands? written|may stay empty|bare it is)\b`)

// TestGivenUpWords: no help, the README and the example of a house uses a word that is
// given up; nor does the help offer a command or a field of such a name.
func TestGivenUpWords(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	texts := map[string]string{"the example of a house": string(testdata.HouseExample),
		"README.md": outsideBlocks(string(readme))}
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		texts[c.CommandPath()] = strings.Join([]string{c.Use, c.Short, c.Long, c.Example, c.UsageString()}, "\n")
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newBench(t).commands())
	require.Greater(t, len(texts), 20)
	for of, text := range texts {
		require.Empty(t, givenUp.FindAllString(text, -1), of)
	}
}

// outsideBlocks is a text without its blocks of code: the picture of the board is held by
// a test of its own.
func outsideBlocks(text string) string {
	var out []string
	for i, part := range strings.Split(text, "```") {
		if i%2 == 0 {
			out = append(out, part)
		}
	}
	return strings.Join(out, "\n")
}
