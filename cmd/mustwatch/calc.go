package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/calc"
	"cellar.example/mustwatch/domain/quantity"
)

// calculator is one call of mustwatch calc: how it reads units and how it prints.
type calculator struct {
	p       *program
	units   string
	decimal string
	json    bool
}

func (p *program) calcCommand() *cobra.Command {
	r := &calculator{p: p}
	cmd := &cobra.Command{
		Use:   "calc",
		Short: "Calculate, and show the working",
		Long: `Calculates one value a cellar hand needs at night and shows its working: what
went in, the formula in words, the result, and the table it comes from. It opens
no journal and saves nothing.

Numbers take a decimal point or a decimal comma. What can be read in two ways,
such as 1,500 or 1.500, or a gallon or a ton of no country, is asked about;
--decimal says which mark stands before the decimals, with --units us the point.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.PersistentFlags().StringVar(&r.units, "units", "metric", "read and print as a `house` does, metric or us")
	cmd.PersistentFlags().StringVar(&r.decimal, "decimal", "", "the `mark` before decimals: . or , or ask")
	cmd.PersistentFlags().BoolVar(&r.json, "json", false, "print the answer for machines")
	for _, k := range calc.Kinds() {
		cmd.AddCommand(r.command(k))
	}
	return cmd
}

// command is the subcommand of one calculation: its fields are flags, and bare
// words belong to the field that takes them.
func (r *calculator) command(k calc.Kind) *cobra.Command {
	cmd := &cobra.Command{Use: k.Name, Short: k.Short, Long: k.Long, Example: k.Example, Args: noArguments}
	if k.Words != "" {
		cmd.Use, cmd.Args = k.Name+" "+strings.ToUpper(k.Words)+"...", cobra.ArbitraryArgs
	}
	one, many := map[string]*string{}, map[string]*[]string{}
	for _, f := range k.Fields {
		switch {
		case f.Name == k.Words:
		case f.Many:
			many[f.Name] = cmd.Flags().StringArray(f.Name, nil, f.Say)
		default:
			one[f.Name] = cmd.Flags().String(f.Name, f.Default, f.Say)
		}
	}
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		v := calc.Values{k.Words: calc.Joined(args)}
		for name, s := range one {
			v[name] = []string{*s}
		}
		for name, all := range many {
			v[name] = *all
		}
		return r.work(k, v)
	}
	return cmd
}

func (r *calculator) work(k calc.Kind, v calc.Values) error {
	var h quantity.Habit
	if err := h.Units.UnmarshalText([]byte(r.units)); err != nil {
		return usage("--units takes metric or us, not {typed:%q}.", r.units)
	}
	if err := h.Decimal.UnmarshalText([]byte(r.decimal)); err != nil {
		return usage("--decimal takes . or , or ask, not {typed:%q}.", r.decimal)
	}
	a, err := calc.Work(k.Name, v, h)
	var short *calc.Missing
	var wrong *calc.Slip
	switch {
	case errors.As(err, &short):
		return &trouble{code: endUsage, says: short.Message, do: "See mustwatch calc " + k.Name + " --help."}
	case errors.As(err, &wrong):
		return &trouble{code: endRefused, says: wrongField(wrong, k) + wrong.Message}
	case err != nil:
		return refused("", "{wrong}", err)
	case r.json:
		e := json.NewEncoder(r.p.stdout)
		e.SetIndent("", "  ")
		e.SetEscapeHTML(false)
		return e.Encode(a)
	}
	_, err = io.WriteString(r.p.stdout, clean(answerText(a)))
	return err
}

// wrongField is what a refusal is about: the flag, or the word as it was typed.
func wrongField(s *calc.Slip, k calc.Kind) string {
	switch {
	case s.Typed != "":
		return s.Typed + ": "
	case s.Field == "" || s.Field == k.Words:
		return ""
	}
	return "--" + s.Field + ": "
}

// answerText is an answer for a person.
func answerText(a calc.Answer) string {
	var out strings.Builder
	out.WriteString(a.Title + "\n")
	wide := 0
	for _, f := range append(append([]calc.Figure{}, a.Given...), a.Results...) {
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
	figures := func(fs []calc.Figure) (lines []string) {
		for _, f := range fs {
			lines = append(lines, f.Name+strings.Repeat(" ", wide-utf8.RuneCountInString(f.Name)+2)+f.Text)
		}
		return lines
	}
	block("caution", a.Cautions)
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
