package theme

import "github.com/charmbracelet/lipgloss"

// shade is one colour written for each kind of terminal. They are given one by
// one because the automatic step down to sixteen colours turns orange into
// whatever is nearest, and nearest is not readable.
type shade lipgloss.CompleteColor

// tone is a look before it is bound to a renderer. Without fg the terminal's
// own foreground is used, and likewise where fg or bg has no shade among sixteen.
//
// Among sixteen colours nobody knows what colour 0 is, and bold turns it into
// colour 8 on many terminals, a grey that is fainter than what is not bold. So text
// has no shade there, and what has colour 0 on a ground of its own is never bold.
type tone struct {
	fg, bg  shade
	bold    bool
	reverse bool
}

// palette is one ground's set of tones.
//
// The hues are the eight of Okabe and Ito, made to be told apart by colour-blind
// readers; some are a little lighter or darker here so that every one reaches
// 4.5:1 against its ground. The test prints the ratios. Overdue and demo bring
// their own ground, so they stand out as blocks even to an eye that sees no hue.
type palette struct {
	quiet, band, rule         tone
	overdue, soon, held, good tone
	focus, cursor, fault      tone
	key, demo, ground         tone
}

func darkPalette() palette {
	black, white := shade{"#000000", "16", "0"}, shade{"#FFFFFF", "231", "15"}
	skyBlue := shade{"#56B4E9", "75", "14"}
	return palette{
		quiet: tone{fg: shade{"#B0B0B0", "249", ""}},
		band:  tone{fg: skyBlue},
		rule:  tone{fg: shade{"#8A8A8A", "245", ""}},

		overdue: tone{fg: shade{"#000000", "16", "15"}, bg: shade{"#D55E00", "166", "1"}, bold: true},
		soon:    tone{fg: shade{"#F0E442", "227", "11"}},
		held:    tone{fg: shade{"#D98CB6", "175", "13"}},
		good:    tone{fg: shade{"#2FBF9B", "43", "10"}},

		focus:  tone{fg: white, bg: shade{"#0B4F79", "24", "4"}},
		cursor: tone{fg: black, bg: shade{"#FFFFFF", "231", "7"}},
		fault:  tone{fg: shade{"#F58A3C", "208", "9"}, bold: true},

		key:  tone{fg: skyBlue, bold: true},
		demo: tone{fg: black, bg: shade{"#E69F00", "214", "7"}}, // no orange among sixteen

		ground: tone{fg: shade{"#E4E4E4", "254", ""}, bg: shade{"#000000", "16", ""}},
	}
}

func lightPalette() palette {
	black, white := shade{"#000000", "16", "0"}, shade{"#FFFFFF", "231", "15"}
	blue := shade{"#00588A", "24", "4"}
	return palette{
		quiet: tone{fg: shade{"#4D4D4D", "239", ""}},
		band:  tone{fg: blue},
		rule:  tone{fg: shade{"#6E6E6E", "242", ""}},

		overdue: tone{fg: shade{"#000000", "16", "15"}, bg: shade{"#D55E00", "166", "1"}, bold: true},
		soon:    tone{fg: black, bg: shade{"#F0E442", "227", "11"}}, // yellow letters cannot be read on white
		held:    tone{fg: shade{"#8F3A6B", "89", "5"}},
		good:    tone{fg: shade{"#006048", "23", ""}},

		focus:  tone{fg: black, bg: shade{"#BFE3F7", "153", "14"}},
		cursor: tone{fg: white, bg: black},
		fault:  tone{fg: shade{"#A03800", "124", "1"}, bold: true},

		key:  tone{fg: blue, bold: true},
		demo: tone{fg: black, bg: shade{"#E69F00", "214", "7"}},

		ground: tone{fg: shade{"#000000", "16", ""}, bg: shade{"#FFFFFF", "231", ""}},
	}
}
