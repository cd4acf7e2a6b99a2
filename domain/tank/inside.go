package tank

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Inside is the inside of one vessel as a house writes it down: a shape with its
// measures, or a dip table; and from where the stick measures. A measure that the
// shape does not have is left at zero.
type Inside struct {
	Shape    string `json:"shape,omitempty"` // upright, lying, oval, box, tapered or table
	Diameter Length `json:"diameter,omitzero"`
	Length   Length `json:"length,omitzero"` // without its heads
	Width    Length `json:"width,omitzero"`
	Tall     Length `json:"tall,omitzero"`
	Wall     Length `json:"wall,omitzero"`
	Head     Length `json:"head,omitzero"`
	Bottom   string `json:"bottom,omitempty"` // flat, cone or dished
	Depth    Length `json:"depth,omitzero"`
	Outlet   Length `json:"outlet,omitzero"`
	Top      Length `json:"top,omitzero"`
	Neck     Length `json:"neck,omitzero"`
	Below    Length `json:"bottom_diameter,omitzero"` // of a tapered tank
	Above    Length `json:"top_diameter,omitzero"`    // of a tapered tank
	Marks    Table  `json:"marks,omitempty"`
	// From is where a dip is measured from: the bottom (""), or the top, down to
	// the liquid. Reference is the height of that upper point, zero for the top
	// of the vessel.
	From      string `json:"from,omitempty"`
	Reference Length `json:"reference,omitzero"`
}

// Of returns the shape. A kind of shape that is not known, a measure that is
// missing and measures that no vessel has are errors.
func (in Inside) Of() (Shape, error) {
	var s Shape
	kind := strings.ToLower(in.Shape)
	if kind == "" && len(in.Marks) > 0 {
		kind = "table"
	}
	switch kind {
	case "upright":
		bottom := BottomKind(strings.ToLower(in.Bottom))
		if bottom == "flat" {
			bottom = Flat
		}
		s = Upright{Diameter: in.Diameter, Wall: in.Wall, Bottom: bottom, Depth: in.Depth, Outlet: in.Outlet,
			TopHeight: in.Top, Neck: in.Neck}
	case "lying":
		s = Lying{Diameter: in.Diameter, Length: in.Length, Head: in.Head}
	case "oval":
		s = Oval{Width: in.Width, Tall: in.Tall, Length: in.Length}
	case "box":
		s = Box{Length: in.Length, Width: in.Width, Tall: in.Tall}
	case "tapered":
		s = Tapered{Bottom: in.Below, Top: in.Above, Tall: in.Tall}
	case "table":
		s = in.Marks
	default:
		return nil, fmt.Errorf("The shape is upright, lying, oval, box, tapered or table, not %q.", in.Shape)
	}
	if in.From != "" && in.From != "bottom" && in.From != "top" {
		return nil, fmt.Errorf("A dip is measured from the bottom or from the top, not from %q.", in.From)
	}
	return s, s.Check()
}

// Dip returns what a stick says, measured as this vessel is.
func (in Inside) Dip(stick Length) (Level, error) {
	s, err := in.Of()
	switch {
	case err != nil:
		return Level{}, err
	case in.From == "top":
		return FromAbove(s, stick, in.Reference)
	}
	return Dip(s, stick)
}

// MarshalText writes a length in metres, to its last digit: a foot is "0.3048 m".
func (l Length) MarshalText() ([]byte, error) {
	if !finite(float64(l)) {
		return nil, errors.New("a length that is no number cannot be saved")
	}
	return []byte(strconv.FormatFloat(float64(l), 'f', -1, 64) + " m"), nil
}

// UnmarshalText reads a length as the program wrote it.
func (l *Length) UnmarshalText(b []byte) error { return l.ReadTyped(string(b), written) }

// written is how the program writes.
var written = quantity.Habit{Decimal: quantity.Point}

// ReadTyped reads a length, see ParseLength.
func (l *Length) ReadTyped(text string, h quantity.Habit) (err error) {
	*l, err = ParseLength(text, h)
	return err
}

// MarshalText writes a mark as "0.5 m = 18.2 hL".
func (m Mark) MarshalText() ([]byte, error) {
	height, err := m.Height.MarshalText()
	if err != nil {
		return nil, err
	}
	volume, err := m.Volume.MarshalText()
	return []byte(string(height) + " = " + string(volume)), err
}

// UnmarshalText reads a mark as the program wrote it.
func (m *Mark) UnmarshalText(b []byte) error { return m.ReadTyped(string(b), written) }

// ReadTyped reads a mark, "50 cm = 18.2 hL".
func (m *Mark) ReadTyped(text string, h quantity.Habit) (err error) {
	height, volume, ok := strings.Cut(text, "=")
	if !ok {
		return errors.New("Type a mark as a height and its volume, such as 50 cm = 18.2 hL.")
	}
	if m.Height, err = ParseLength(height, h); err != nil {
		return err
	}
	m.Volume, err = h.Volume(volume)
	return err
}
