package wall

import (
	"fmt"
	"math"

	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
)

// The rule of thumb for critical text: a character is read, at most, from two
// hundred times its height (17 minutes of arc; 16 is the floor), and with ease
// where it fills 22 minutes of arc.
const (
	atMost   = 200.0
	withEase = 22.0 / 60 // degrees
)

// metres is from how far, at most, figures of so many rows are read on a screen
// of so many rows and so many millimetres in height.
func metres(rowsOfFigure float64, rowsOfScreen int, screenHeight float64) float64 {
	if rowsOfScreen <= 0 {
		return 0
	}
	return rowsOfFigure * screenHeight / float64(rowsOfScreen) * atMost / 1000
}

// eased turns the distance at most into the one at which reading is easy.
func eased(metres float64) float64 {
	return metres / atMost / math.Tan(withEase*math.Pi/180)
}

// screens are the usual ones, by their diagonal in inches, 16 to 9.
var screens = []int{24, 27, 32, 43}

// screenHeight is the height in millimetres of a 16 to 9 screen.
func screenHeight(inches int) float64 {
	return float64(inches) * 25.4 * 9 / math.Hypot(16, 9)
}

// HelpLines implements face.Helper: from how far this wall is read.
func (w *Wall) HelpLines(g face.Sight, box layout.Box) []string {
	p := planFor(box, houseOf(g), g.Ascii)
	figures, words := float64(p.figures.dots())/2, float64(p.words.dots())/2
	out := []string{
		"How far it can be read",
		fmt.Sprintf("  Digits are %.3g rows high here, words %.3g, of %d rows.", figures, words, box.H),
		fmt.Sprintf("  %-41s%-18s%s", "Reading distance, at most and with ease", "digits", "words"),
	}
	for _, inches := range screens {
		h := screenHeight(inches)
		f, d := metres(figures, box.H, h), metres(words, box.H, h)
		out = append(out, fmt.Sprintf("  %-41s%4.1f m  %4.1f m    %4.1f m  %4.1f m",
			fmt.Sprintf("%d inches, digits %.0f mm", inches, figures*h/float64(box.H)), f, eased(f), d, eased(d)))
	}
	return append(out, "  At most: height 1/200 of the distance. With ease: 22 minutes of arc.",
		"  Good eyes, a clean screen.")
}
