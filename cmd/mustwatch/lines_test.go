package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// readAll tells what a text is read as: the command or the reason, by line.
func readAll(t *testing.T, in io.Reader) ([]string, error) {
	t.Helper()
	var out []string
	err := readLines(in, func(l line) bool {
		if c, err := l.command(cellar.House{}); err != nil {
			out = append(out, fmt.Sprintf("%d: %v", l.no, err))
		} else {
			out = append(out, fmt.Sprintf("%d: %s", l.no, cellar.Do(c)))
		}
		return true
	})
	return out, err
}

const seen = `{"do":"acknowledge","by":"AL","subject":"S1"}`

func TestReadLines(t *testing.T) {
	long := `{"do":"note","text":"` + strings.Repeat("x", 10<<20) + `"}`
	for _, c := range []struct {
		name string
		text string
		want []string
	}{
		{"nothing", "", nil},
		{"blank lines and remarks", "\n  \n# a remark\n\t\n" + seen, []string{"5: acknowledge"}},
		{"carriage returns", seen + "\r\n\r\n" + seen + "\r\n", []string{"1: acknowledge", "3: acknowledge"}},
		{"a mark at the begin", "\ufeff" + seen, []string{"1: acknowledge"}},
		{"the mark alone", "\ufeff", nil},
		{"a mark and a remark", "\ufeff# so\n" + seen, []string{"2: acknowledge"}},
		{"no end of line at the end", seen + "\n" + seen, []string{"1: acknowledge", "2: acknowledge"}},
		{"words", "hello\n" + seen, []string{"1: this is not a JSON object: invalid character 'h' looking for " +
			"beginning of value", "2: acknowledge"}},
		{"half an object", `{"do":"acknowledge"` + "\n",
			[]string{"1: this is not a JSON object: unexpected end of JSON input"}},
		{"ten megabytes in a line", long + "\n" + seen,
			[]string{"1: this line is longer than 1048576 bytes; an entry is one short line", "2: acknowledge"}},
		{"an unknown field", `{"do":"acknowledge","who":"AL"}`,
			[]string{`1: who: there is no field "who" in this command`}},
		{"bytes further down", seen + "\n\x00\x01\n" + seen, []string{"1: acknowledge",
			"2: this line holds bytes that are no text", "3: acknowledge"}},
		{"a hidden escape", `{"do":"note","text":"a\u001b[2Jb"}`,
			[]string{"1: text: U+001B is a character that cannot be shown; leave it out"}},
		{"hidden deeper down", `{"do":"move","from":"S1","to":[{"vessel":"F1","volume":"1 hL"},{"vessel":"F\u202e2",` +
			`"volume":"1 hL"}]}`, []string{"1: vessel: U+202E is a character that cannot be shown; leave it out"}},
		{"half a pair", `{"do":"note","text":"\ud800"}`,
			[]string{"1: text: U+FFFD is a character that cannot be shown; leave it out"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := readAll(t, strings.NewReader(c.text))
			require.NoError(t, err)
			assert.Equal(t, c.want, got)
		})
	}
}

func TestWhatIsNoTextIsRefusedAsAWhole(t *testing.T) {
	for name, text := range map[string]string{
		"a program":            "\x7fELF\x02\x01\x01\x00\x00",
		"wide characters":      "\xff\xfe{\x00\"\x00",
		"wide the other way":   "\xfe\xff\x00{\x00\"",
		"another set of signs": "{\"do\":\"note\",\"text\":\"Gew\xfcrz\"}",
	} {
		t.Run(name, func(t *testing.T) {
			got, err := readAll(t, strings.NewReader(text))
			assert.ErrorIs(t, err, errNoText)
			assert.Empty(t, got)
		})
	}
}

func TestAReaderThatFailsIsToldWithItsLine(t *testing.T) {
	in := io.MultiReader(strings.NewReader(seen+"\n"), iotest.ErrReader(io.ErrClosedPipe))
	got, err := readAll(t, in)
	assert.ErrorIs(t, err, io.ErrClosedPipe)
	assert.ErrorContains(t, err, "line 2")
	assert.Equal(t, []string{"1: acknowledge"}, got)
}

func FuzzReadLines(f *testing.F) {
	f.Add([]byte(seen + "\n# x\r\n{}"))
	f.Add(exampleNight())
	f.Add([]byte("\xef\xbb\xbf{\"do\":\"\\u0000\"}\n\x00"))
	f.Fuzz(func(t *testing.T, text []byte) {
		last := 0
		_ = readLines(bytes.NewReader(text), func(l line) bool {
			if l.no <= last || (l.text == nil) == (l.err == nil) {
				t.Fatalf("line %d after %d: %q %v", l.no, last, l.text, l.err)
			}
			last = l.no
			return true
		})
	})
}
