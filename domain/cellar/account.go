package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Item is one line of a vessel's account. Exactly one of its pointers is set.
type Item struct {
	Seq       Seq
	At        time.Time
	Written   time.Time
	By        Initials
	Entry     string
	In        *Inflow
	Out       *Outflow
	Dose      *Dose
	Reading   *Measured
	Begun     *Check // a check begins
	Read      *checkReading
	Stage     *StageSet
	Clocks    []Timer // that it starts
	Drop      *PaperDrop
	Mended    []Mend // corrections, oldest first; what stands is in the item itself
	TakenBack bool   // taken back: it stays to be seen and counts for nothing
}

// Mend is one correction of an item: both sides stay visible.
type Mend struct {
	Seq      Seq
	At       time.Time
	By       Initials
	Field    string
	Was, Now string
	Reason   string
}

// Inflow is what runs into a vessel.
type Inflow struct {
	Along
	From      subject.Ref     `json:"from"` // a vessel, a press, a load or the opening
	Volume    quantity.Volume `json:"volume"`
	Parts     []Part          `json:"parts"`
	Kind      stage.Substance `json:"kind"`
	Doses     []Dose          `json:"doses,omitempty"` // carried with the juice
	Untreated bool            `json:"untreated,omitempty"`
	Stage     stage.Stage     `json:"stage,omitempty"`   // the stage the content comes to
	Opens     bool            `json:"opens,omitempty"`   // more will follow
	Closes    bool            `json:"closes,omitempty"`  // the last from there
	Ends      bool            `json:"ends,omitempty"`    // and from everywhere else
	Hands     bool            `json:"hands,omitempty"`   // more follows from another press
	Share     string          `json:"share,omitempty"`   // main or fraction, from a press
	Reads     quantity.Volume `json:"reads,omitzero"`    // what the vessel was read to hold after it, if that was typed
	Tested    bool            `json:"tested,omitempty"`  // its contact had ended before it came
	How       Gauge           `json:"how,omitempty"`     // how its volume was found
	Carried   *Gauged         `json:"carried,omitempty"` // or where it came from by the ledger
}

// Along is what a content brings along wherever it flows.
type Along struct {
	FromLot   string    `json:"from_lot,omitempty"`
	Title     string    `json:"title,omitempty"`
	Temps     *Trail    `json:"-"`               // its temperatures
	TempCalc  bool      `json:"-"`               // the last of them is calculated
	NegAt     time.Time `json:"neg_at,omitzero"` // its pectin was gone at
	CalledOff time.Time `json:"-"`               // contacts that began up to then were tested where it came from
	Timers    []Timer   `json:"-"`               // the clocks that ran on it
	Brought   *Brought  `json:"-"`               // the last word on it, by the tests where it was
	LastIn    time.Time `json:"-"`               // the last untreated juice in it
	lastInSeq Seq
}

// along is what a content brings along.
func (c *Content) along() Along {
	a := Along{FromLot: c.Lot, Title: c.Title, Temps: c.Temps, TempCalc: c.TempCalc, NegAt: c.PectinGone,
		CalledOff: c.calledOff, Timers: c.Timers,
		LastIn: c.LastIn, lastInSeq: c.lastInSeq}
	if n := len(c.Checks); n > 0 {
		a.CalledOff = laterOf(a.CalledOff, c.Checks[n-1].Started)
	}
	return a
}

// Outflow is what leaves a vessel.
type Outflow struct {
	To      []TankNumber    `json:"to"`
	Sent    *Sent           `json:"sent,omitempty"` // of it, out of the house
	Volume  quantity.Volume `json:"volume"`
	Empties bool            `json:"empties,omitempty"`
	Left    []Part          `json:"-"` // of every load, what stays
	Doses   []Dose          `json:"-"` // and of every dose
}

// StageSet puts a vessel's content into a stage.
type StageSet struct {
	Number TankNumber  `json:"vessel"`
	Stage  stage.Stage `json:"stage"`
	Why    string      `json:"why,omitempty"`
	// Inoculated says that yeast was poured in, and nothing else begins it.
	Inoculated bool   `json:"inoculated,omitempty"`
	Method     string `json:"method,omitempty"` // how it was cleaned, which gas
	// SeenTo and Unseen are what of the house's list was and was not seen to when
	// the vessel was written clean; Adds says that it was clean before.
	SeenTo []CleanStep     `json:"steps,omitempty"`
	Unseen []CleanStep     `json:"steps_open,omitempty"`
	Adds   bool            `json:"adds,omitempty"`
	Kind   stage.Substance `json:"kind,omitempty"`
	Route  string          `json:"route,omitempty"`
	// Target is the temperature it is cooled or warmed to.
	Target *quantity.Celsius `json:"target,omitempty"`
	Lapses []Lapse           `json:"clocks,omitempty"` // that it starts
}

// why is what stands behind a stage: what somebody said, or that yeast was poured in.
func (g *StageSet) why() string {
	if g.Inoculated {
		return firstWords(g.Why, "inoculated")
	}
	return g.Why
}

// checkReading is what tubes showed, with the verdict that follows from it.
type checkReading struct {
	CheckRead
	Verdict clarity.Verdict
	Why     string
	Protein bool
}

// take brings an item into the content of a vessel. Slices are copied before they
// grow, so that a content handed out keeps its own.
func (c *Content) take(v VesselSetup, it *Item) {
	if c.Stage.Empty() && it.needsContent() {
		return // a late entry has emptied the vessel before; the item stays in the account
	}
	switch {
	case it.In != nil:
		was := c.Volume
		c.flowIn(v.Number, it)
		c.gaugeIn(it, was, v.Brim)
	case it.Out != nil:
		c.flowOut(it)
		c.Gauge.Since = c.Volume > 0
	case it.Dose != nil:
		c.dosed(it)
		c.Looked = it.At
	case it.Reading != nil:
		c.read(it)
		c.gaugeDip(it, v.Brim)
		c.Looked = it.At
	case it.Begun != nil:
		c.checkBegun(it)
		c.Looked = it.At
	case it.Read != nil:
		c.checkRead(it)
		c.Looked = it.At
	case it.Drop != nil:
		c.Drops = append(c.Drops[:len(c.Drops):len(c.Drops)], PaperDropped{PaperDrop: *it.Drop, At: it.At, By: it.By})
		c.Looked = it.At
	case it.Stage != nil:
		c.staged(it)
	}
	c.starts(it.Clocks...)
}

// needsContent reports whether an item says something of a content, so that it
// says nothing of an empty vessel.
func (it *Item) needsContent() bool {
	return it.Dose != nil || it.Drop != nil || it.Begun != nil || it.Read != nil || it.Out != nil || it.Stage != nil &&
		!it.Stage.Stage.Empty()
}

func (c *Content) staged(it *Item) {
	g := it.Stage
	if g.Stage.Empty() {
		if g.Adds && c.Stage == stage.Clean {
			c.SeenTo, c.Unseen = g.SeenTo, g.Unseen
			return
		}
		clean := c.CleanSince
		*c = Content{Stage: g.Stage, Since: it.At, Note: g.why(), Method: g.Method, SeenTo: g.SeenTo, Unseen: g.Unseen}
		if g.Stage == stage.Clean {
			c.CleanSince = it.At
		} else if g.Stage == stage.OutOfUse {
			c.CleanSince = clean
		}
		return
	}
	ends := stageEnds[g.Stage]
	if c.ends(ends...); slices.Contains(ends, KindContact) {
		c.calledOff = it.At
	}
	c.Before, c.Stage, c.Since, c.Note, c.Method = "", g.Stage, it.At, g.why(), g.Method
	c.Target, c.stageSeq = g.Target, it.Seq
	if g.Stage != stage.Filling {
		c.fillsNoMore()
	}
	if g.Kind != "" {
		c.Kind = g.Kind
	}
}

func (c *Content) read(it *Item) {
	m := it.Reading
	c.Last.Seq, c.Last.At, c.Last.By = it.Seq, it.At, it.By
	if m.Temp != nil {
		c.Last.Temp, c.TempAt, c.TempCalc = m.Temp, it.At, false
		c.Temps = c.Temps.and(contact.Reading{At: it.At, T: *m.Temp})
	}
	if m.Density != nil {
		c.Last.Density, c.DensityAt = m.Density, it.At
		if c.DensityWas == 0 {
			c.DensityWas, c.DensityWasAt = *m.Density, it.At
		}
	}
	setIf(&c.Last.Brix, m.Brix)
	if m.Turbidity != nil {
		c.Last.Turbidity, c.NTUAt = m.Turbidity, it.At
	}
	setIf(&c.Last.PH, m.PH)
	if m.Volume != nil {
		c.Last.Volume, c.Last.Stick = m.Volume, m.Stick
	}
	if m.Words != "" {
		c.Last.Words = m.Words
	}
}

func setIf[T any](to **T, from *T) {
	if from != nil {
		*to = from
	}
}

func (c *Content) dosed(it *Item) {
	d := *it.Dose
	d.Seq, d.At, d.By = it.Seq, it.At, it.By
	if d.Held > 0 && c.Volume > 0 && c.Volume != d.Held && d.OnMass == 0 {
		d.LookAt = text.Of("calculated on {held}; since corrected to {volume}", d.Held, c.Volume).In(text.Exact{})
	}
	d.Here = d.Amount
	if c.Volume > 0 {
		d.PerHL = perHL(d.Amount, c.Volume) // on what is in it by the account, corrections and all
		d.First = d.PerHL
	}
	c.Doses = append(c.Doses[:len(c.Doses):len(c.Doses)], d)
	if d.Class.contact() {
		c.PectinGone, c.contactHere = time.Time{}, true
		c.ends(KindLook)
		if c.Stage != stage.Contact && c.Stage != stage.HotHold && c.Stage != stage.ColdSoak &&
			c.Stage != stage.Maceration {
			c.Stage, c.Since, c.Before = stage.Contact, it.At, ""
		}
	}
}

func (c *Content) checkBegun(it *Item) {
	k := *it.Begun
	k.Seq, k.Started, k.knew = it.Seq, it.At, nil
	if c.cameIn.Equal(it.At) {
		k.knew = append(k.knew, c.cameSeq)
	}
	for _, d := range c.Doses {
		if d.At.Equal(it.At) {
			k.knew = append(k.knew, d.Seq)
		}
	}
	c.Checks = append(c.Checks[:len(c.Checks):len(c.Checks)], &k)
	c.ends(KindLook, KindReading)
	if c.Stage != stage.CheckDue {
		c.Before = c.Stage
	}
	c.Stage, c.Since = stage.CheckDue, it.At
}

func (c *Content) checkRead(it *Item) {
	r := it.Read
	for i, old := range c.Checks {
		if old.ID != r.ID {
			continue
		}
		k := *old
		k.read(&r.CheckRead, it.At, it.By)
		k.Verdict, k.Why, k.Protein = r.Verdict, r.Why, r.Protein
		c.Checks = append([]*Check(nil), c.Checks...)
		c.Checks[i] = &k
		c.ends(KindReading)
		if k.Verdict != clarity.Pending { // it answers what asked for a test before it was begun
			c.Timers = slices.DeleteFunc(slices.Clone(c.Timers), func(t Timer) bool {
				return t.Kind == KindLook &&
					!t.Start.After(k.Started)
			})
		}
		if k.Verdict == clarity.Negative {
			c.ends(KindRoute)
		}
		c.judged(&k)
		return
	}
}

// judged moves the content on by a verdict: back to where it was, or out of
// contact when the pectin is gone.
func (c *Content) judged(k *Check) {
	if k.Verdict == clarity.Pending {
		return
	}
	back := c.Before
	if back == "" || back == stage.CheckDue || back == stage.Filling {
		back = stage.Contact
	}
	if k.Verdict.OpensGate() {
		c.PectinGone = k.ReadAt
		if back == stage.Contact {
			back = stage.Waiting
		}
	} else if k.Verdict == clarity.Positive {
		c.PectinGone = time.Time{}
	}
	c.Stage, c.Before, c.Since = back, "", k.ReadAt
}
