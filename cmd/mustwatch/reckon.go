package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/tank"
)

// reckoner is one call of mustwatch reckon: the units it reads and prints, and what
// was wrong with what was typed. After the first fault nothing more is read.
type reckoner struct {
	p     *program
	units string
	json  bool
	sys   quantity.System
	fault error
}

// reckoned is an answer with its working: what went in, how, what came out, and
// what stands behind it.
type reckoned struct {
	Title   string   `json:"reckoned"`
	Given   []figure `json:"given"`
	Working []string `json:"working"`
	Results []figure `json:"results"`
	Notes   []string `json:"notes,omitempty"`
	Sources []string `json:"sources"`
}

// figure is one number with its name. Value and Unit are for machines, Text for
// people; a figure without a unit is a text or a plain number.
type figure struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit,omitempty"`
	Text  string  `json:"text"`
}

func (p *program) reckonCommand() *cobra.Command {
	r := &reckoner{p: p}
	cmd := &cobra.Command{
		Use:   "reckon",
		Short: "Work a figure out, and show how",
		Long: `Works out one figure a cellar hand needs at night and shows its working: what
went in, the formula in words, the result, and the table it comes from. It opens
no journal and writes nothing.

Numbers take a decimal point or a decimal comma. What can be read in two ways,
such as 1,500, or a gallon or a ton of no country, is asked about.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.PersistentFlags().StringVar(&r.units, "units", "metric", "read and print as a `house` does, metric or us")
	cmd.PersistentFlags().BoolVar(&r.json, "json", false, "print the answer for machines")
	cmd.AddCommand(r.doseCommand(), r.makeupCommand(), r.so2Command(), r.sugarCommand(), r.strengthCommand(), r.dipCommand(), r.heatCommand(), r.contactCommand(), r.blendCommand(), r.yieldCommand())
	return cmd
}

// answers makes the run of a command out of a function that reckons.
func (r *reckoner) answers(work func(args []string) (reckoned, error)) func(*cobra.Command, []string) error {
	return func(_ *cobra.Command, args []string) error {
		if err := r.sys.UnmarshalText([]byte(r.units)); err != nil {
			return usage("--units takes metric or us, not %q.", r.units)
		}
		r.fault = nil
		a, err := work(args)
		if r.fault != nil {
			err = r.fault
		}
		if err != nil {
			return sentence("", err)
		}
		return r.print(a)
	}
}

// sentence makes trouble of an error of the domain, with what it is about in front.
func sentence(about string, err error) error {
	var known *trouble
	if errors.As(err, &known) {
		return err
	}
	if about != "" {
		about += ": "
	}
	return &trouble{code: endRefused, says: about + err.Error()}
}

// read takes one typed value, unless one before it was at fault already.
func (r *reckoner) read(about string, f func() error) {
	if r.fault != nil {
		return
	}
	if err := f(); err != nil {
		r.fault = sentence(about, err)
	}
}

func (r *reckoner) volume(about, s string) (v quantity.Volume) {
	r.read(about, func() (err error) { v, err = quantity.ParseVolume(s, r.sys); return err })
	return v
}

func (r *reckoner) grapes(about, s string) (m quantity.Mass) {
	r.read(about, func() (err error) { m, err = quantity.ParseMass(s, r.sys, quantity.Kilogram); return err })
	return m
}

func (r *reckoner) celsius(about, s string) (c quantity.Celsius) {
	r.read(about, func() (err error) { c, err = quantity.ParseCelsius(s, r.sys); return err })
	return c
}

func (r *reckoner) rate(about, s string) (q quantity.Rate) {
	r.read(about, func() (err error) { q, err = quantity.ParseRate(s, ""); return err })
	return q
}

func (r *reckoner) span(about, s string) (q quantity.Span) {
	r.read(about, func() (err error) { q, err = quantity.ParseSpan(s); return err })
	return q
}

// amount reads a mass or a volume of product, by its unit.
func (r *reckoner) amount(about, s string) (a quantity.Amount) {
	r.read(about, func() (err error) {
		m, err := quantity.ParseMass(s, r.sys, quantity.Gram)
		var ask *quantity.AskError
		if err == nil || errors.As(err, &ask) {
			a.Mass = m
			return err
		}
		if a.Volume, err = quantity.ParseVolume(s, r.sys); err != nil && !errors.As(err, &ask) {
			return errors.New("Type an amount such as 156 g, 2.5 kg, 392 mL or 3.84 L.")
		}
		return err
	})
	return a
}

// plain reads a number whose unit is one of those given, or none.
func (r *reckoner) plain(about, s string, units ...string) (x float64) {
	r.read(about, func() (err error) {
		text := strings.TrimSpace(s)
		for _, u := range units {
			if n := len(text) - len(u); n >= 0 && strings.EqualFold(text[n:], u) {
				text = text[:n]
				break
			}
		}
		x, err = quantity.ParseNumber(text)
		return err
	})
	return x
}

// brix reads a sugar in °Brix.
func (r *reckoner) brix(about, s string) (b quantity.Brix) {
	r.read(about, func() error { return b.UnmarshalText([]byte(s)) })
	return b
}

func (r *reckoner) print(a reckoned) error {
	if !r.json {
		_, err := io.WriteString(r.p.stdout, clean(a.text()))
		return err
	}
	for _, f := range append(append([]figure{}, a.Given...), a.Results...) {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			return refused("Type the values anew.", "The %s came to no number.", f.Name)
		}
	}
	e := json.NewEncoder(r.p.stdout)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(a)
}

// text is the answer for a person.
func (a reckoned) text() string {
	var out strings.Builder
	out.WriteString(a.Title + "\n")
	wide := 0
	for _, f := range append(append([]figure{}, a.Given...), a.Results...) {
		wide = max(wide, utf8.RuneCountInString(f.Name))
	}
	block := func(head string, lines []string) {
		for _, l := range lines {
			for _, part := range folded(l, pageWidth-len("  working  ")) {
				fmt.Fprintf(&out, "  %-8s %s\n", head, part)
				head = ""
			}
		}
	}
	figures := func(fs []figure) (lines []string) {
		for _, f := range fs {
			lines = append(lines, f.Name+strings.Repeat(" ", wide-utf8.RuneCountInString(f.Name)+2)+f.Text)
		}
		return lines
	}
	block("given", figures(a.Given))
	block("working", a.Working)
	block("result", figures(a.Results))
	block("note", a.Notes)
	block("source", a.Sources)
	return out.String()
}

// pageWidth is how wide an answer is printed.
const pageWidth = 79

// folded breaks a line at spaces; what follows is indented.
func folded(line string, width int) []string {
	var out []string
	for utf8.RuneCountInString(line) > width {
		runes := []rune(line)
		cut := width
		for cut > width/2 && runes[cut] != ' ' {
			cut--
		}
		if runes[cut] != ' ' {
			break
		}
		out = append(out, strings.TrimRight(string(runes[:cut]), " "))
		line = "  " + strings.TrimLeft(string(runes[cut:]), " ")
	}
	return append(out, line)
}

// plainly writes a number with at most so many decimals.
func plainly(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "?"
	}
	scale := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(x*scale)/scale+0, 'f', -1, 64)
}

// digits writes a number with exactly so many decimals.
func digits(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// The figures of quantities: the number in one unit for machines, the text as the
// house writes it.
func (r *reckoner) ofVolume(name string, v quantity.Volume) figure {
	return figure{name, v.HL(), "hL", v.Text(r.sys)}
}

func (r *reckoner) ofAmount(name string, a quantity.Amount) figure {
	if a.Liquid() {
		return figure{name, a.Volume.Litres(), "L", a.Text(r.sys)}
	}
	f := figure{name, a.Mass.Grams(), "g", a.Text(r.sys)}
	if r.sys == quantity.US {
		f.Text = plainly(a.Mass.Grams()/gramsPerOunce, 1) + " oz (" + plainly(a.Mass.Grams(), 1) + " g)"
	}
	return f
}

// gramsPerOunce is the avoirdupois ounce, exact by definition.
const gramsPerOunce = 28.349523125

func (r *reckoner) ofRate(name string, q quantity.Rate) figure {
	text := q.String()
	if shown := q.Text(r.sys); !strings.HasSuffix(shown, " "+string(q.Unit)) {
		text += " = " + shown
	}
	return figure{name, q.Value, string(q.Unit), text}
}

func (r *reckoner) ofCelsius(name string, c quantity.Celsius) figure {
	return figure{name, float64(c), "°C", c.Text(r.sys)}
}

// ofLength is a length as the house measures.
func (r *reckoner) ofLength(name string, l tank.Length) figure {
	f := figure{name, float64(l), "m", l.String()}
	if r.sys == quantity.US {
		f.Text = plainly(float64(l/tank.Inch), 2) + " in (" + l.String() + ")"
	}
	return f
}

func ofShare(name string, p float64) figure {
	return figure{name, p, "%", plainly(p, 2) + " %"}
}

func ofHours(name string, s quantity.Span) figure {
	return figure{name, s.Duration().Hours(), "h", quantity.Span(s.Duration().Round(time.Minute)).String()}
}
