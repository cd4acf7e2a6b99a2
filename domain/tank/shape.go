package tank

import (
	"errors"
	"math"

	"cellar.example/mustwatch/domain/quantity"
)

// Shape is the inside of a vessel.
type Shape interface {
	// Check refuses measures that no vessel has, with a sentence.
	Check() error
	// Height is from the lowest inside point to the highest.
	Height() Length
	// cubic is the volume in m³ under a height within the vessel.
	cubic(h float64) float64
	// formula says in words how the volume is calculated.
	formula() string
}

// BottomKind is how an upright vessel ends below.
type BottomKind string

// The bottoms.
const (
	Flat   BottomKind = ""
	Cone   BottomKind = "cone"
	Dished BottomKind = "dished" // taken as half an ellipsoid
)

// Upright is a standing cylinder. Wall is the height of its straight part; Depth
// and Outlet (a diameter, may be 0) describe a bottom that is not flat, TopHeight
// and Neck (a diameter) a conical top, TopHeight 0 for none.
type Upright struct {
	Diameter  Length
	Wall      Length
	Bottom    BottomKind
	Depth     Length
	Outlet    Length
	TopHeight Length
	Neck      Length
}

// Lying is a lying cylinder. Length is that of its straight part, Head the depth of
// each elliptical end, 0 for flat ends (a quarter of the diameter for 2 : 1 heads).
type Lying struct {
	Diameter Length
	Length   Length
	Head     Length
}

// Oval is a lying vessel of elliptical section with flat ends.
type Oval struct {
	Width  Length
	Tall   Length
	Length Length
}

// Box is a rectangular vessel.
type Box struct {
	Length Length
	Width  Length
	Tall   Length
}

// Tapered is a vessel that tapers straight from a bottom to a top diameter.
type Tapered struct {
	Bottom Length
	Top    Length
	Tall   Length
}

const measuresWanted = "Type every inside measure of the vessel, more than 0 and up to 100 m, such as 2.4 m."

// measures refuses a measure that is not above zero.
func measures(ls ...Length) error {
	for _, l := range ls {
		if !(l > 0 && l <= farthest) {
			return errors.New(measuresWanted)
		}
	}
	return nil
}

func within(part, whole Length) bool { return part >= 0 && part <= whole }

// Check refuses measures that no vessel has.
func (u Upright) Check() error {
	switch {
	case measures(u.Diameter, u.Wall) != nil:
		return measures(u.Diameter, u.Wall)
	case u.Bottom != Flat && u.Bottom != Cone && u.Bottom != Dished:
		return errors.New("Type the bottom as flat, cone or dished.")
	case u.Bottom != Flat && !(u.Depth > 0 && u.Depth <= farthest):
		return errors.New("A cone or a dished bottom has a depth: type it, such as 50 cm.")
	case u.Bottom == Flat && u.Depth != 0:
		return errors.New("A flat bottom has no depth: type cone or dished, or leave the depth out.")
	case !within(u.Outlet, u.Diameter) || !within(u.Neck, u.Diameter):
		return errors.New("The outlet and the neck are from 0 to the diameter of the vessel.")
	case !within(u.TopHeight, farthest):
		return errors.New("Type the height of the conical top from 0 to 100 m.")
	}
	return nil
}

// Height is bottom, wall and top.
func (u Upright) Height() Length { return u.Depth + u.Wall + u.TopHeight }

func (u Upright) formula() string {
	return map[BottomKind]string{Flat: "flat bottom", Cone: "frustum of the cone up to its depth",
		Dished: "half ellipsoid up to its depth"}[u.Bottom] +
		", then π × radius² × height" + map[bool]string{true: ", then frustum of the top"}[u.TopHeight > 0]
}

func (u Upright) cubic(h float64) float64 {
	r, depth, wall, top := float64(u.Diameter)/2, float64(u.Depth), float64(u.Wall), float64(u.TopHeight)
	low := min(h, depth)
	v := 0.0
	switch {
	case depth <= 0:
	case u.Bottom == Cone:
		v = frustum(float64(u.Outlet)/2, r, depth, low)
	default: // half of an ellipsoid, from its lowest point
		v = math.Pi * r * r * low * low / depth * (1 - low/(3*depth))
	}
	v += math.Pi * r * r * max(0, min(h-depth, wall))
	if x := h - depth - wall; x > 0 && top > 0 {
		v += frustum(r, float64(u.Neck)/2, top, min(x, top))
	}
	return v
}

// frustum is the volume of the lower h of a cone that runs from radius a to b over
// a height.
func frustum(a, b, height, h float64) float64 {
	r := a + (b-a)*h/height
	return math.Pi * h * (a*a + a*r + r*r) / 3
}

// Check refuses measures that no vessel has.
func (l Lying) Check() error {
	if !within(l.Head, l.Diameter) {
		return errors.New("The depth of a head is from 0 to the diameter, a quarter of it for a 2 : 1 head.")
	}
	return measures(l.Diameter, l.Length)
}

// Height is the diameter.
func (l Lying) Height() Length { return l.Diameter }

func (l Lying) formula() string {
	s := "length × (R² acos((R − h)/R) − (R − h) √(2Rh − h²))"
	if l.Head > 0 {
		s += " + π × head depth × h² × (1 − h/(3R)) for the two heads"
	}
	return s
}

func (l Lying) cubic(h float64) float64 {
	r := float64(l.Diameter) / 2
	v := float64(l.Length) * r * r * segment((r-h)/r)
	return v + math.Pi*float64(l.Head)*h*h*(1-h/(3*r))
}

// segment is the area of a circle of radius 1 below the height at which the
// distance from the middle is u (1 at the bottom, −1 at the top).
func segment(u float64) float64 {
	u = max(-1, min(1, u))
	return math.Acos(u) - u*math.Sqrt(max(0, 1-u*u))
}

// Check refuses measures that no vessel has.
func (o Oval) Check() error { return measures(o.Width, o.Tall, o.Length) }

// Height is the inside height of the oval.
func (o Oval) Height() Length { return o.Tall }

func (o Oval) formula() string {
	return "length × A × B × (acos u − u √(1 − u²)), u = (B − h)/B, A and B half the width and the height"
}

func (o Oval) cubic(h float64) float64 {
	a, b := float64(o.Width)/2, float64(o.Tall)/2
	return float64(o.Length) * a * b * segment((b-h)/b)
}

// Check refuses measures that no vessel has.
func (b Box) Check() error { return measures(b.Length, b.Width, b.Tall) }

// Height is the inside height.
func (b Box) Height() Length { return b.Tall }

func (b Box) formula() string { return "length × width × height" }

func (b Box) cubic(h float64) float64 { return float64(b.Length) * float64(b.Width) * h }

// Check refuses measures that no vessel has.
func (v Tapered) Check() error { return measures(v.Bottom, v.Top, v.Tall) }

// Height is the inside height.
func (v Tapered) Height() Length { return v.Tall }

func (v Tapered) formula() string {
	return "π h (r₀² + r₀ r + r²)/3, r the radius at the height"
}

func (v Tapered) cubic(h float64) float64 {
	return frustum(float64(v.Bottom)/2, float64(v.Top)/2, float64(v.Tall), h)
}

// volume makes whole millilitres of m³.
func volume(cubic float64) quantity.Volume { return quantity.HL(cubic * 10) }
