package theme

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The grounds a theme is assumed to stand on. Few terminals are pure black or
// pure white, so the worst of the usual greys is tested too. Sixteen colours are
// tested against the two most usual sets: the bare console's and xterm's.
var grounds = map[Mode][]string{
	Dark:  {"#000000", "#1C1C1C", "#262626"},
	Light: {"#FFFFFF", "#F4F4F4", "#EEEEEE"},
}

var console16 = strings.Fields(`#000000 #AA0000 #00AA00 #AA5500 #0000AA #AA00AA #00AAAA #AAAAAA
	#555555 #FF5555 #55FF55 #FFFF55 #5555FF #FF55FF #55FFFF #FFFFFF`)

var xterm16 = strings.Fields(`#000000 #CD0000 #00CD00 #CDCD00 #0000EE #CD00CD #00CDCD #E5E5E5
	#7F7F7F #FF0000 #00FF00 #FFFF00 #5C5CFF #FF00FF #00FFFF #FFFFFF`)

const (
	enoughForText  = 4.5
	enoughForRules = 3.0 // lines carry no text
)

func tones(p palette) map[string]tone {
	return map[string]tone{
		"quiet": p.quiet, "band": p.band, "rule": p.rule, "overdue": p.overdue, "soon": p.soon,
		"held": p.held, "good": p.good, "focus": p.focus, "cursor": p.cursor, "fault": p.fault,
		"key": p.key, "demo": p.demo, "ground": p.ground,
	}
}

func TestContrast(t *testing.T) {
	var table strings.Builder
	for _, mode := range []Mode{Dark, Light} {
		all := tones(darkPalette())
		if mode == Light {
			all = tones(lightPalette())
		}
		fmt.Fprintf(&table, "\n%-6s %-8s %10s %10s %10s %10s\n", mode, "", "truecolor", "256", "console16", "xterm16")
		names := []string{}
		for name := range all {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			ratios := worst(t, mode, all[name])
			fmt.Fprintf(&table, "%-6s %-8s %10.1f %10.1f %10.1f %10.1f\n", "", name, ratios[0], ratios[1], ratios[2],
				ratios[3])
			for i, ratio := range ratios {
				want := enoughForText
				if name == "rule" {
					want = enoughForRules
				}
				assert.GreaterOrEqual(t, ratio, want, "%s %s, column %d", mode, name, i)
			}
		}
	}
	t.Log(table.String())
}

// worst is the lowest contrast of a tone over the grounds, for truecolor, 256
// colours and two sets of sixteen.
func worst(t *testing.T, mode Mode, tn tone) [4]float64 {
	t.Helper()
	ground16 := map[Mode]string{Dark: "0", Light: "15"}[mode]
	text16 := map[Mode]string{Dark: "7", Light: "0"}[mode] // a terminal's own, where a tone has no shade
	lowest := [4]float64{math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)}
	for _, ground := range grounds[mode] {
		pick := func(column string, bg, ground string) string {
			if bg == "" {
				return ground
			}
			return column
		}
		pairs := [4][2]string{
			{tn.fg.TrueColor, pick(tn.bg.TrueColor, tn.bg.TrueColor, ground)},
			{xterm256(t, tn.fg.ANSI256), pick(xterm256(t, tn.bg.ANSI256), tn.bg.ANSI256, ground)},
			{from16(t, console16, pick(tn.fg.ANSI, tn.fg.ANSI, text16)), from16(t, console16, pick(tn.bg.ANSI,
				tn.bg.ANSI, ground16))},
			{from16(t, xterm16, pick(tn.fg.ANSI, tn.fg.ANSI, text16)), from16(t, xterm16, pick(tn.bg.ANSI, tn.bg.ANSI,
				ground16))},
		}
		for i, pair := range pairs {
			lowest[i] = min(lowest[i], contrast(t, pair[0], pair[1]))
		}
	}
	return lowest
}

// contrast is the ratio of WCAG 2: (lighter + 0.05) / (darker + 0.05).
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	la, lb := luminance(t, a), luminance(t, b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	require.Len(t, hex, 7, hex)
	part := func(s string) float64 {
		n, err := strconv.ParseUint(s, 16, 8)
		require.NoError(t, err)
		c := float64(n) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*part(hex[1:3]) + 0.7152*part(hex[3:5]) + 0.0722*part(hex[5:7])
}

// xterm256 is the fixed part of the 256 colours: a 6×6×6 cube and a grey ramp.
// The first sixteen are the terminal's own and not used.
func xterm256(t *testing.T, code string) string {
	t.Helper()
	if code == "" {
		return ""
	}
	n, err := strconv.Atoi(code)
	require.NoError(t, err)
	require.GreaterOrEqual(t, n, 16, "the first sixteen change from terminal to terminal")
	if n >= 232 {
		v := 8 + 10*(n-232)
		return fmt.Sprintf("#%02X%02X%02X", v, v, v)
	}
	level := []int{0, 95, 135, 175, 215, 255}
	n -= 16
	return fmt.Sprintf("#%02X%02X%02X", level[n/36], level[n/6%6], level[n%6])
}

func from16(t *testing.T, set []string, code string) string {
	t.Helper()
	n, err := strconv.Atoi(code)
	require.NoError(t, err)
	return set[n]
}

func TestContrastKnowsTheExtremes(t *testing.T) {
	assert.InDelta(t, 21, contrast(t, "#000000", "#FFFFFF"), 0.01)
	assert.InDelta(t, 1, contrast(t, "#123456", "#123456"), 0.01)
	assert.InDelta(t, 4.48, contrast(t, "#777777", "#FFFFFF"), 0.01)
	assert.Equal(t, "#005F87", xterm256(t, "24"))
	assert.Equal(t, "#BCBCBC", xterm256(t, "250"))
}
