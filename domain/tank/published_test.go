package tank_test

import (
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/tank"
	"cellar.example/mustwatch/testdata/tables"
)

// shapes are the vessels of the table of test points, by name and parameters.
var shapes = map[string]tank.Shape{
	"upright_cylinderD=2.000 m": tank.Upright{Diameter: 2, Wall: 4},
	"upright_cone_bottom_pointedD=2.000 m; cone height 0.500 m; apex down": tank.Upright{Diameter: 2,
		Wall: 4, Bottom: tank.Cone, Depth: 0.5},
	"upright_cone_bottom_truncatedD=2.000 m; cone height 0.500 m; outlet d=0.100 m": tank.Upright{Diameter: 2,
		Wall: 4, Bottom: tank.Cone, Depth: 0.5, Outlet: 0.1},
	"horizontal_cylinder_flatD=2.000 m; L=3.000 m": tank.Lying{Diameter: 2,
		Length: 3},
	"horizontal_cylinder_2to1_ellipsoidal_headsD=2.000 m; L=3.000 m; head depth 0.500 m each": tank.Lying{Diameter: 2,
		Length: 3, Head: 0.5},
	"horizontal_ovalwidth 2.000 m; height 1.200 m; L=3.000 m": tank.Oval{Width: 2,
		Tall: 1.2, Length: 3},
	"rectangularL=2.400 m; W=1.500 m": tank.Box{Length: 2.4,
		Width: 1.5, Tall: 2},
	"truncated_cone_vatbottom D=2.600 m; top D=2.200 m; H=2.000 m": tank.Tapered{Bottom: 2.6,
		Top: 2.2, Tall: 2},
	"upright_cone_bottom_and_topD=2.000 m; bottom cone 0.500 m to d=0.100 m; shell 2.500 m; top cone 0.450 m to " +
		"neck d=0.400 m": tank.Upright{
		Diameter: 2, Wall: 2.5, Bottom: tank.Cone, Depth: 0.5, Outlet: 0.1, TopHeight: 0.45, Neck: 0.4},
}

// TestPublishedTankPoints checks every test point, to 0.01 L, and that each height
// comes back from its volume.
func TestPublishedTankPoints(t *testing.T) {
	source, rows := tables.Published(t, "tank_test_points.csv")
	require.Len(t, rows, 21)
	worst, back := 0.0, 0.0
	for _, r := range rows {
		s, ok := shapes[r["shape"]+r["parameters"]]
		require.True(t, ok, "%v", r)
		h := tank.Length(tables.Number(t, r["h_m"]))
		l, err := tank.Dip(s, h)
		require.NoError(t, err)
		off := math.Abs(l.Volume.Litres() - tables.Number(t, r["volume_L"]))
		require.LessOrEqual(t, off, 0.0101, "%v", r)
		worst = max(worst, off)
		again, err := tank.HeightOf(s, l.Volume)
		require.NoError(t, err)
		back = max(back, math.Abs(float64(again-h)))
		above, err := tank.FromAbove(s, s.Height()-h, 0)
		require.NoError(t, err)
		require.InDelta(t, l.Volume.Litres(), above.Volume.Litres(), 0.001)
	}
	require.Less(t, back, 1e-4)
	t.Logf("source: %s; rows %d; worst error %.4f L, backwards %.1e m", source, len(rows), worst, back)
}

// TestPublishedLyingFractions checks every row of the table of fractions, and the
// lying tank that stands in print: 48 in by 96 in holds 752 US gal, 280.9 at 19.2 in.
func TestPublishedLyingFractions(t *testing.T) {
	source, rows := tables.Published(t, "horizontal_cylinder_fraction.csv")
	s := tank.Lying{Diameter: 10, Length: 100}
	worst := 0.0
	for _, r := range rows {
		l, err := tank.Dip(s, tank.Length(10*tables.Number(t, r["h_over_D"])))
		require.NoError(t, err)
		off := math.Abs(l.Volume.HL()/l.Brim.HL() - tables.Number(t, r["volume_fraction"]))
		require.LessOrEqual(t, off, 5.1e-7)
		worst = max(worst, off)
	}
	printed := tank.Lying{Diameter: 48 * tank.Inch, Length: 96 * tank.Inch}
	l, err := tank.Dip(printed, 19.2*tank.Inch)
	require.NoError(t, err)
	require.InDelta(t, 280.9, l.Volume.Litres()/3.785411784, 0.05)
	require.InDelta(t, 752, l.Brim.Litres()/3.785411784, 0.5)
	t.Logf("source: %s; rows %d; worst error %.1e of the whole; one printed tank of 752 US gal within its digits",
		source, len(rows)+2, worst)
}

// area is the surface of the liquid at a height, written down again for each shape.
func area(s tank.Shape, h float64) float64 {
	chord := func(r, h float64) float64 { return 2 * math.Sqrt(max(0, r*r-(r-h)*(r-h))) }
	line := func(a, b tank.Length, share float64) float64 { return float64(a) + float64(b-a)*share }
	disc := func(d float64) float64 { return math.Pi * d * d / 4 }
	switch s := s.(type) {
	case tank.Upright:
		depth, wall := float64(s.Depth), float64(s.Wall)
		switch {
		case h < depth && s.Bottom == tank.Cone:
			return disc(line(s.Outlet, s.Diameter, h/depth))
		case h < depth:
			u := 1 - h/depth
			return disc(float64(s.Diameter)) * (1 - u*u)
		case h <= depth+wall:
			return disc(float64(s.Diameter))
		}
		return disc(line(s.Diameter, s.Neck, (h-depth-wall)/float64(s.TopHeight)))
	case tank.Lying:
		r := float64(s.Diameter) / 2
		c := chord(r, h)
		return float64(s.Length)*c + math.Pi*float64(s.Head)/r*c*c/4
	case tank.Oval:
		b := float64(s.Tall) / 2
		return float64(s.Length) * float64(s.Width) / 2 * chord(b, h) / b
	case tank.Box:
		return float64(s.Length * s.Width)
	case tank.Tapered:
		return disc(line(s.Bottom, s.Top, h/float64(s.Tall)))
	}
	panic("no such shape")
}

// The closed forms agree with gonum's quadrature of the surface over the height,
// for vessels of every shape and size.
func TestVolumesAgreeWithGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) tank.Length {
			return tank.Length(rapid.Float64Range(low, high).Draw(t, name))
		}
		d := draw("diameter", 0.5, 6)
		u := tank.Upright{Diameter: d, Wall: draw("wall", 0.5, 12),
			Bottom:    rapid.SampledFrom([]tank.BottomKind{tank.Flat, tank.Cone, tank.Dished}).Draw(t, "bottom"),
			TopHeight: draw("top", 0.05, 2), Neck: d * draw("neck", 0, 1)}
		if u.Bottom != tank.Flat {
			u.Depth = draw("depth", 0.05, 2)
		}
		if u.Bottom == tank.Cone {
			u.Outlet = d * draw("outlet", 0, 1)
		}
		s := rapid.SampledFrom([]tank.Shape{u, tank.Lying{Diameter: d, Length: draw("length", 0.5, 12),
			Head: d * draw("head", 0, 0.5)},
			tank.Oval{Width: d, Tall: draw("tall", 0.5, 4), Length: draw("long", 0.5, 10)}, tank.Box{Length: d,
				Width: draw("width", 0.5, 4), Tall: draw("high", 0.5, 4)},
			tank.Tapered{Bottom: d, Top: draw("above", 0.5, 6), Tall: draw("tall", 0.5, 5)}}).Draw(t, "shape")
		h := float64(s.Height()) * rapid.Float64Range(0, 1).Draw(t, "height")
		got, err := tank.Dip(s, tank.Length(h))
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, piece := range pieces(s, h) {
			// The surface has a root at bottom and top; sin² takes it out.
			a, b := piece[0], piece[1]
			want += quad.Fixed(func(x float64) float64 {
				s1, c1 := math.Sincos(x)
				return area(s, a+(b-a)*s1*s1) * 2 * s1 * c1 * (b - a)
			}, 0, math.Pi/2, 60, nil, 0)
		}
		if off := math.Abs(got.Volume.Litres() - want*1000); off > 1e-3+want*1e-6 {
			t.Fatalf("%+v at %g: %g L, gonum %g L", s, h, got.Volume.Litres(), want*1000)
		}
	})
}

// pieces cuts the height where the surface has a kink.
func pieces(s tank.Shape, h float64) [][2]float64 {
	var cuts []float64
	if u, ok := s.(tank.Upright); ok {
		cuts = []float64{float64(u.Depth), float64(u.Depth + u.Wall)}
	}
	var out [][2]float64
	from := 0.0
	for _, c := range cuts {
		if c > from && c < h {
			out, from = append(out, [2]float64{from, c}), c
		}
	}
	return append(out, [2]float64{from, h})
}

// The own dip table meets its marks, never falls between them, and never leaves the
// marks on either side.
func TestDipTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var table tank.Table
		h, v := tank.Length(0), quantity.Volume(rapid.Int64Range(0, 1e6).Draw(t, "dead"))*quantity.Millilitre
		for range rapid.IntRange(2, 12).Draw(t, "marks") {
			table = append(table, tank.Mark{Height: h, Volume: v})
			h += tank.Length(rapid.Float64Range(0.01, 0.5).Draw(t, "step"))
			v += quantity.Volume(rapid.Int64Range(0, 1e7).Draw(t, "rise")) * quantity.Millilitre
		}
		last := quantity.Volume(-1)
		for i := range 101 {
			at := table.Height() * tank.Length(i) / 100
			l, err := tank.Dip(table, at)
			if err != nil {
				t.Fatal(err)
			}
			if l.Volume < last-1 {
				t.Fatalf("falls at %g", at)
			}
			last = l.Volume
			for k := 1; k < len(table); k++ {
				a, b := table[k-1], table[k]
				if a.Height <= at && at <= b.Height && (l.Volume < a.Volume-1 || l.Volume > b.Volume+1) {
					t.Fatalf("%v at %g leaves its marks", l.Volume, at)
				}
			}
		}
		for _, m := range table {
			l, err := tank.Dip(table, m.Height)
			if err != nil || l.Volume-m.Volume > 1 || m.Volume-l.Volume > 1 {
				t.Fatalf("a mark of %v reads %v", m.Volume, l.Volume)
			}
		}
	})
}

// A table made from a lying cylinder every 10 cm reads the cylinder within a part in
// two hundred of its brim between the marks.
func TestDipTableFollowsATank(t *testing.T) {
	s := tank.Lying{Diameter: 2, Length: 3}
	var table tank.Table
	for i := range 21 {
		l, err := tank.Dip(s, tank.Length(i)*0.1)
		require.NoError(t, err)
		table = append(table, tank.Mark{Height: tank.Length(i) * 0.1, Volume: l.Volume})
	}
	worst := 0.0
	for i := range 201 {
		h := min(tank.Length(i)*0.01, 2)
		a, err := tank.Dip(s, h)
		require.NoError(t, err)
		b, err := tank.Dip(table, min(h, table.Height()))
		require.NoError(t, err)
		worst = max(worst, math.Abs(a.Volume.HL()-b.Volume.HL())/a.Brim.HL())
	}
	assert.Less(t, worst, 0.002)
}

// TestPublishedAt20 checks the worked example of a warm tank and C16.
func TestPublishedAt20(t *testing.T) {
	at20, err := tank.At20(quantity.HL(100), 30, 22)
	require.NoError(t, err)
	require.InDelta(t, 9968, at20.Litres(), 0.5)
	fifteen, err := tank.At20(quantity.HL(100), 15, 22)
	require.NoError(t, err)
	require.InDelta(t, 9955, 9968.1*100/fifteen.HL(), 1) // 9 968 L at 20 °C are 9 955 L at 15 °C
	room, err := tank.Room(quantity.HL(211.1), quantity.HL(250), 85)
	require.NoError(t, err)
	require.Equal(t, quantity.HL(1.4), room)
	full := tank.Level{Volume: quantity.HL(211.1), Brim: quantity.HL(250)}
	require.InDelta(t, 84.4, float64(full.Full()), 0.05)
	t.Logf("source: 10 000 L at 30 °C and 22 °Brix, computed with ICUMSA SPS-4 (from memory); C16; rows 4; worst "+
		"error %.1f L", math.Abs(9968-at20.Litres()))
}

func TestTankRefuses(t *testing.T) {
	nan := tank.Length(math.NaN())
	good := tank.Lying{Diameter: 2, Length: 3}
	sentence := regexp.MustCompile(`^[A-Z][^\n]*\.$`)
	for _, s := range []tank.Shape{
		tank.Upright{}, tank.Upright{Diameter: 2, Wall: 3, Bottom: tank.Cone}, tank.Upright{Diameter: 2, Wall: 3,
			Depth: 1}, tank.Upright{Diameter: 2, Wall: 3, Bottom: "round"},
		tank.Upright{Diameter: 2, Wall: 3, Neck: 3}, tank.Upright{Diameter: 2, Wall: 3, TopHeight: -1},
		tank.Lying{Diameter: 2}, tank.Lying{Diameter: 2, Length: 3, Head: -1},
		tank.Oval{Width: 1}, tank.Box{}, tank.Tapered{Bottom: nan, Top: 1, Tall: 1}, tank.Table{}, tank.Table{{0, 0},
			{0, 5}}, tank.Table{{0, 5}, {1, 4}}, tank.Table{{0.2, 0}, {1, 4}}, tank.Table{{0, -1}, {1, 4}},
	} {
		_, err := tank.Dip(s, 0.1)
		require.Error(t, err, "%+v", s)
		assert.Regexp(t, sentence, err.Error())
	}
	for _, h := range []tank.Length{-0.01, 2.01, nan, tank.Length(math.Inf(1))} {
		_, err := tank.Dip(good, h)
		assert.ErrorContains(t, err, "from 0 to 2 m", "%v", h)
	}
	_, err := tank.FromAbove(good, 3, 0)
	assert.Error(t, err)
	_, err = tank.FromAbove(good, 0.1, 2.5)
	assert.ErrorContains(t, err, "from 0 to 2 m", "the liquid would stand over the vessel")
	over, err := tank.FromAbove(good, 1.5, 2.5)
	require.NoError(t, err)
	assert.Equal(t, tank.Length(1), over.Height)
	_, err = tank.HeightOf(good, quantity.HL(1000))
	assert.Error(t, err)
	_, err = tank.Room(quantity.HL(1), quantity.HL(2), 49)
	assert.Error(t, err)
	less, err := tank.Room(quantity.HL(240), quantity.HL(250), 85)
	require.NoError(t, err)
	assert.Negative(t, int64(less))
	_, err = tank.At20(quantity.HL(1), 50, 22)
	assert.Error(t, err)
}

func TestParseLength(t *testing.T) {
	for in, want := range map[string]tank.Length{"75 cm": 0.75, "0,75 m": 0.75, "750mm": 0.75, "29.5 in": 0.7493,
		"6 ft": 1.8288, `48"`: 1.2192, "0 cm": 0} {
		got, err := tank.ParseLength(in, quantity.Habit{})
		require.NoError(t, err, in)
		assert.InDelta(t, float64(want), float64(got), 1e-12, in)
	}
	for in, options := range map[string][]string{"75": {"75 cm", "75 m", "75 in"}, "1,500 mm": {"1.5 mm", "1500 mm"}} {
		_, err := tank.ParseLength(in, quantity.Habit{})
		var ask *quantity.AskError
		require.ErrorAs(t, err, &ask)
		assert.Equal(t, options, ask.Options)
	}
	for _, in := range []string{"", "cm", "5 hands", "-1 cm", "101 m", "NaN m", "x"} {
		_, err := tank.ParseLength(in, quantity.Habit{})
		require.Error(t, err, in)
		assert.Regexp(t, `^Type a length .*\.$`, err.Error())
	}
	assert.Equal(t, "0.75 m", tank.Length(0.7500001).String())
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"75 cm", "1,500 mm", "75", "\xff", `5'`, "١ m", "1e9 m"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := tank.ParseLength(s, quantity.Habit{})
		if err == nil && !(l >= 0 && l <= 100) || err != nil && err.Error() == "" {
			t.Fatalf("%q gives %v %v", s, l, err)
		}
	})
}
