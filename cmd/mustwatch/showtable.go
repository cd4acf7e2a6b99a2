package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// showFields documents the fields; the README has the same.
const showFields = `  format, seq, at   the version of the document, the last record read, the instant
  house, zone       the house and its time zone
  vessels           vessel, stage, since (of the stage), volume_ml, kind,
                    temp_c and temp_at: the last temperature, and when;
                    unexplained_ml: of all that was ever in it, never below 0
    parts           load, variety, ml: they add up to volume_ml
    doses           product, class, amount and unit (g or mL): what of it is in
                    this vessel by share, of SO2 the gas; per_hl; first_at and
                    first_in: when and where it was poured
    contact         since, due (of its test), row of the card: from_c, to_c, minutes
    pectin_test     the latest: begun, read, sample, control, verdict
    can             step (settle, float, move), can, why: codes of rules that speak
                    (H15, W22), else a word: open, contact, check, flotation,
                    hot-hold, weighed, not-before, no-negative, reason … That no
                    rule speaks never says that it is safe.
  presses           press, state, since, programme, started, end, free_run_ml and
                    pressings_ml: what has run; parts: load, variety, g or ml
  clocks            subject (kind, name), verb, object, what (act-at, not-before, not-after),
                    due, state (running, open, rings, acknowledged, snoozed),
                    set_by_hand: somebody has set its due, else it follows
                    from what was saved
  faults            what was saved and cannot have been: vessel, at, seqs of the
                    entries that do not go together, held_ml by the ledger, said_ml
                    by the entry, what, kind: left-more (than there was), held-more
                    (when it was emptied), called-empty (and was not), read-less
                    (than it held before), over-brim, was-empty (when dosed
                    or tested)
  loss_ml           what was lost, all vessels together
  unexplained_ml    what the ledger cannot account for; negative where more went
                    than there was
  balance, total    by load and variety, and in all:
                    in_ml = held_ml + out_ml + loss_ml + unexplained_ml
                    (in: from presses, trailers, the opening; out: into presses,
                    and out of the house: bottled, on a tanker, sold ...; sent_ml of it)
  dose_balance      by dose: product, class, first_at, first_in, unit, and in that
                    unit given = held + out + loss + unexplained
                    (out: into presses, less what came back with juice, and out of
                    the house; sent of it)`

// printState prints a document as tables, in the units and by the clock of the house.
func printState(w io.Writer, s *cellar.State, d *document.Document) error {
	var text strings.Builder
	t := &table{s: s, d: d, w: tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)}
	t.row("%s at %s, record %d", d.House, d.At.In(s.Zone()).Format("Mon 2 Jan 2006 15:04 MST"), d.Seq)
	t.vessels()
	t.presses()
	t.clocks()
	t.faults()
	t.balance()
	_ = t.w.Flush()
	for l := range strings.Lines(text.String()) {
		if _, err := io.WriteString(w, strings.TrimRight(l, " \n")+"\n"); err != nil {
			return err
		}
	}
	return nil
}

// table lays rows out whose cells are parted by tabs.
type table struct {
	s *cellar.State
	d *document.Document
	w *tabwriter.Writer
}

func (t *table) row(format string, args ...any) {
	cells := strings.Split(fmt.Sprintf(format, args...), "\t")
	for i, c := range cells {
		cells[i] = clean(c)
	}
	fmt.Fprintln(t.w, strings.Join(cells, "\t"))
}

// head begins a table of its own, whose columns are as wide as they need.
func (t *table) head(format string) {
	_ = t.w.Flush()
	t.row("")
	t.row("%s", format)
}

func (t *table) vessels() {
	if len(t.d.Vessels) == 0 {
		return
	}
	t.head("VESSEL\tSTAGE\tVOLUME\tTEMP\tDUE\tMAY\tLOADS\tDOSES")
	for _, v := range t.d.Vessels {
		temp, volume := "", ""
		if v.Temp != nil {
			temp = quantity.Celsius(*v.Temp).Text(t.s.House.Units)
		}
		if v.Volume != 0 {
			volume = t.volume(v.Volume)
		}
		var doses, may []string
		for _, x := range v.Doses {
			doses = append(doses, fmt.Sprintf("%s %.4g %s/hL", x.Product, x.PerHL, x.Unit))
		}
		for _, x := range v.Can {
			if x.Can {
				may = append(may, x.Step)
			}
		}
		t.row("%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s", v.Vessel, v.Stage, volume, temp, t.due(subject.Vessel, v.Vessel),
			strings.Join(may, " "), shares(v.Parts), strings.Join(doses, ", "))
	}
}

func (t *table) presses() {
	if len(t.d.Presses) == 0 {
		return
	}
	t.head("PRESS\tSTATE\tMAIN\tFRACTION\tDUE\tLOADS")
	for _, p := range t.d.Presses {
		t.row("%s\t%s\t%s\t%s\t%s\t%s", p.Press, p.State, t.volume(p.MainOut), t.volume(p.FractionOut),
			t.due(subject.Press, p.Press), shares(p.Parts))
	}
}

// clocks are those of nothing that has a row of its own.
func (t *table) clocks() {
	first := true
	for _, c := range t.d.Clocks {
		if c.Subject.Kind == subject.Vessel || c.Subject.Kind == subject.Press {
			continue
		}
		if first {
			t.head("ALSO DUE\tWHAT\tAT")
			first = false
		}
		t.row("%s\t%s\t%s", t.s.NameOf(c.Subject), cellar.VerbWords(c.Verb, c.Object), t.at(c))
	}
}

// faults are what does not add up, each with the entries that do not go together.
func (t *table) faults() {
	if len(t.d.Faults) > 0 {
		t.head("DOES NOT ADD UP")
	}
	for _, f := range t.d.Faults {
		if v, ok := t.s.Vessel(cellar.TankNumber(f.Vessel)); ok {
			for _, x := range v.Faults() {
				if string(x.Kind) == f.Kind && x.At.Equal(f.At) && uint64(x.Seq) == f.Seqs[0] {
					t.row("%s", t.s.SayLines(x))
				}
			}
		}
	}
}

func (t *table) balance() {
	t.head("LOAD\tVARIETY\tIN\t= HELD\t+ PRESSES\t+ SENT OUT\t+ LOSS\t+ UNEXPLAINED")
	line := func(load, variety string, b document.Sums) {
		t.row("%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s", load, variety, t.volume(b.In), t.volume(b.Held),
			t.volume(b.Out-b.Sent), t.volume(b.Sent), t.volume(b.Loss), t.volume(b.Unexplained))
	}
	for _, b := range t.d.Balance {
		line(b.Load, b.Variety, b.Sums)
	}
	line("all", "", t.d.Total)
	if len(t.d.Given) == 0 {
		return
	}
	t.head("DOSE\tAT\tIN\tGIVEN\t= HELD\t+ PRESSES\t+ SENT OUT\t+ LOSS\t+ UNEXPLAINED")
	for _, g := range t.d.Given {
		amount := func(x float64) string { return fmt.Sprintf("%.5g %s", x, g.Unit) }
		t.row("%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s", g.Product, t.s.Clock(g.FirstAt), g.FirstIn, amount(g.Given),
			amount(g.Held), amount(g.Out-g.Sent), amount(g.Sent), amount(g.Loss), amount(g.Unexplained))
	}
}

func (t *table) volume(ml int64) string {
	return (quantity.Volume(ml) * quantity.Millilitre).Text(t.s.House.Units)
}

// due lists the clocks of a vessel or a press.
func (t *table) due(kind subject.Kind, name string) string {
	var out []string
	for _, c := range t.d.Clocks {
		if c.Subject.Kind == kind && c.Subject.Name == name {
			out = append(out, cellar.VerbWords(c.Verb, c.Object)+" "+t.at(c))
		}
	}
	return strings.Join(out, ", ")
}

func (t *table) at(c document.Clock) string {
	at := t.s.Clock(c.Due)
	if c.Due.Sub(t.d.At).Abs() > 12*time.Hour {
		at = c.Due.In(t.s.Zone()).Format("Mon ") + at
	}
	switch c.What {
	case "not-before":
		at = "from " + at
	case "not-after":
		at = "by " + at
	}
	if c.State == document.Rings || c.State == document.Seen || c.State == document.Snoozed {
		at += ", " + c.State
	}
	return at
}

// shares names the loads in a content.
func shares(parts []document.Part) string {
	var sum, grams int64
	for _, p := range parts {
		sum, grams = sum+p.ML, grams+p.Grams
	}
	out := make([]string, len(parts))
	for i, p := range parts {
		out[i] = strings.TrimSpace(p.Load + " " + p.Variety)
		switch {
		case len(parts) == 1:
		case grams > 0:
			out[i] += fmt.Sprintf(" %.3g %%", 100*float64(p.Grams)/float64(grams))
		case sum > 0:
			out[i] += fmt.Sprintf(" %.3g %%", 100*float64(p.ML)/float64(sum))
		}
	}
	return strings.Join(out, ", ")
}
