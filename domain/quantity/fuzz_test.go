package quantity_test

import (
	"encoding"
	"errors"
	"math"
	"testing"

	. "cellar.example/mustwatch/domain/quantity"
)

// seeds are things that hands have typed into forms like these, and things that
// parsers have choked on.
var seeds = []string{
	"", " ", "0", "-0", "192", "192.0 hL", "9,4", "1,500", "1.500,0", "12,000,000", "14 600 kg", "600gal", "59F",
	"15 °C", "1089", "89oe",
	"3h", "1h30", "3:00", "1:75", "90 min", "3 g/hL", "0.134 lb/1,000 US gal", "3 g/100 kg", "30 g/ton",
	"1 fl oz/short ton", "30 ppm",
	"NaN", "Inf", "-Inf", "1e308", "1e-400", "0x1p4", "١٢", "−5", "\x00", "\xff", "5 \u202fL",
	"999999999999999999999999999",
	"17.8 t", "18 ton", "2 oz", "392 mL", "h", "1h30h", "1d6", "80 psi", "5.5 %", "pH 3",
}

// refused checks what every parser promises about an error: a sentence, and for
// a question at least one answer that the parser then takes.
func refused(t *testing.T, err error, again func(string) error) {
	if err.Error() == "" {
		t.Fatal("an error without a sentence")
	}
	var ask *AskError
	if !errors.As(err, &ask) {
		return
	}
	if len(ask.Options) == 0 {
		t.Fatalf("%q asks without options", ask.Input)
	}
	for _, o := range ask.Options {
		var second *AskError
		if err := again(o); errors.As(err, &second) && len(second.Options) > 0 && second.Options[0] == o {
			t.Fatalf("%q asks about its own option %q for ever", ask.Input, o)
		}
	}
}

// written checks that what a parser took is written and read back as it was.
func written[T comparable](t *testing.T, got T, in encoding.TextMarshaler, out encoding.TextUnmarshaler, now func() T) {
	text, err := in.MarshalText()
	if err != nil {
		t.Fatalf("cannot write %v: %v", got, err)
	}
	if err := out.UnmarshalText(text); err != nil {
		t.Fatalf("cannot read back %q: %v", text, err)
	}
	if now() != got {
		t.Fatalf("%v came back as %v from %q", got, now(), text)
	}
}

func seed(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
}

func FuzzParseNumber(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		x, err := Habit{}.Number(s, -1e15, 1e15)
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%q gives %v", s, x)
		}
		if err != nil {
			refused(t, err, func(o string) error { _, err := Habit{}.Number(o, -1e15, 1e15); return err })
		}
	})
}

func FuzzParseVolume(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		for _, sys := range []System{Metric, US} {
			v, err := sys.Habit().Volume(s)
			if err != nil {
				refused(t, err, func(o string) error { _, err := sys.Habit().Volume(o); return err })
				continue
			}
			if v < 0 {
				t.Fatalf("%q gives %v", s, v)
			}
			var back Volume
			written(t, v, v, &back, func() Volume { return back })
		}
	})
}

func FuzzParseMass(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		for _, bare := range []Mass{Gram, Kilogram} {
			m, err := Metric.Habit().Mass(s, bare)
			if err != nil {
				refused(t, err, func(o string) error { _, err := Metric.Habit().Mass(o, bare); return err })
				continue
			}
			if m < 0 {
				t.Fatalf("%q gives %v", s, m)
			}
			var back Mass
			written(t, m, m, &back, func() Mass { return back })
		}
	})
}

func FuzzParseCelsius(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		for _, sys := range []System{Metric, US} {
			c, err := sys.Habit().Celsius(s)
			if err != nil {
				refused(t, err, func(o string) error { _, err := sys.Habit().Celsius(o); return err })
				continue
			}
			var back Celsius
			written(t, c, c, &back, func() Celsius { return back })
		}
	})
}

func FuzzParseDensity(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		d, err := Habit{}.Density(s)
		if err != nil {
			refused(t, err, func(o string) error { _, err := Habit{}.Density(o); return err })
			return
		}
		if d < 0.980 || d > 1.200 {
			t.Fatalf("%q gives %v", s, d)
		}
		var back Density
		written(t, d, d, &back, func() Density { return back })
	})
}

func FuzzParseSpan(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		d, err := Habit{}.Span(s)
		if err != nil {
			refused(t, err, func(o string) error { _, err := Habit{}.Span(o); return err })
			return
		}
		if d <= 0 {
			t.Fatalf("%q gives %v", s, d)
		}
		var back Span
		written(t, d, d, &back, func() Span { return back })
		if again, err := (Habit{}).Span(d.String()); err != nil || again != d {
			t.Fatalf("%q is shown as %q, which reads %v, %v", s, d, again, err)
		}
	})
}

func FuzzParseRate(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		r, err := Habit{}.Rate(s, GPerHL)
		if err != nil {
			refused(t, err, func(o string) error { _, err := Habit{}.Rate(o, GPerHL); return err })
			return
		}
		if r.Value < 0 || !r.Unit.Known() {
			t.Fatalf("%q gives %v", s, r)
		}
		var back Rate
		written(t, r, r, &back, func() Rate { return back })
	})
}

func FuzzParseAmount(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		for _, liquid := range []bool{true, false} {
			a, err := Metric.Habit().Amount(s, liquid)
			if err != nil {
				refused(t, err, func(o string) error { _, err := Metric.Habit().Amount(o, liquid); return err })
				continue
			}
			if !a.IsZero() && a.Liquid() != liquid {
				t.Fatalf("%q gives %v", s, a)
			}
			var back Amount
			written(t, a, a, &back, func() Amount { return back })
		}
	})
}

// The meters have no parser of their own: reading the text is it.
func FuzzParseMeters(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, s string) {
		var (
			n, n2 NTU
			p, p2 PH
			b, b2 Brix
			r, r2 Bar
			c, c2 Percent
			y, y2 System
			u, u2 RateUnit
		)
		check := func(err error, ok func()) {
			if err != nil {
				refused(t, err, func(string) error { return nil })
				return
			}
			ok()
		}
		text := []byte(s)
		check(n.UnmarshalText(text), func() { written(t, n, n, &n2, func() NTU { return n2 }) })
		check(p.UnmarshalText(text), func() { written(t, p, p, &p2, func() PH { return p2 }) })
		check(b.UnmarshalText(text), func() { written(t, b, b, &b2, func() Brix { return b2 }) })
		check(r.UnmarshalText(text), func() { written(t, r, r, &r2, func() Bar { return r2 }) })
		check(c.UnmarshalText(text), func() { written(t, c, c, &c2, func() Percent { return c2 }) })
		check(y.UnmarshalText(text), func() { written(t, y, y, &y2, func() System { return y2 }) })
		check(u.UnmarshalText(text), func() { written(t, u, u, &u2, func() RateUnit { return u2 }) })
	})
}
