package theme

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// look is what a terminal has been told by the escapes before a letter.
type look struct {
	fg, bg  string // the parameters that set it, "" for the terminal's own
	bold    bool
	reverse bool
}

var escape = regexp.MustCompile(`\x1b\[([0-9;]*)m`)

// looks reads a painted line as a terminal does: the look of each letter in it.
func looks(t *testing.T, line string) map[string]look {
	t.Helper()
	out, now := map[string]look{}, look{}
	for line != "" {
		m := escape.FindStringSubmatchIndex(line)
		if m == nil || m[0] > 0 {
			out[line[:1]] = now
			line = line[1:]
			continue
		}
		p := strings.Split(line[m[2]:m[3]], ";")
		for i := 0; i < len(p); i++ {
			switch n := p[i]; {
			case n == "" || n == "0":
				now = look{}
			case n == "1":
				now.bold = true
			case n == "7":
				now.reverse = true
			case n == "38" || n == "48":
				length := map[string]int{"5": 3, "2": 5}[p[i+1]]
				if n == "38" {
					now.fg = strings.Join(p[i:i+length], ";")
				} else {
					now.bg = strings.Join(p[i:i+length], ";")
				}
				i += length - 1
			case len(n) == 2 && (n[0] == '3' || n[0] == '9'):
				now.fg = n
			case len(n) == 2 && n[0] == '4' || len(n) == 3 && n[:2] == "10":
				now.bg = n
			default:
				require.Fail(t, "an escape nobody expects", "%q", p)
			}
		}
		line = line[m[1]:]
	}
	return out
}

// TestNoThemeMakesTextFaint reads the escapes of every theme on every kind of
// terminal, alone and on the painted ground: text is in the terminal's own
// foreground or on a ground that came with its colour, colour 0 is never bold (many
// terminals show that as colour 8, a grey), and nothing is written in colour 8.
func TestNoThemeMakesTextFaint(t *testing.T) {
	zero, grey := []string{"30", "38;5;0"}, []string{"90", "38;5;8"}
	for _, profile := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		for _, mode := range []Mode{Dark, Light} {
			th := New(renderer(profile), mode)
			for name, ink := range inks(th) {
				for _, line := range []string{ink.Render("A") + "b", th.Ground(ink.Render("A") + "b")} {
					for letter, l := range looks(t, line) {
						at := []any{"%s %s %s %+v in %q", profile.Name(), mode, name + " " + letter, l, line}
						assert.False(t, l.bold && slices.Contains(zero, l.fg), at...)
						assert.False(t, slices.Contains(grey, l.fg), at...)
						assert.False(t, slices.Contains(zero, l.fg) && l.bg == "", at...)
					}
				}
			}
			if profile == termenv.ANSI {
				for _, ink := range []Ink{th.Text, th.Strong, th.Title, th.Quiet, th.Field} {
					l := looks(t, th.Ground(ink.Render("A")))["A"]
					assert.Empty(t, l.fg+l.bg, "%s: the terminal's own", mode)
				}
				assert.False(t, th.OwnGround())
			}
		}
	}
}
