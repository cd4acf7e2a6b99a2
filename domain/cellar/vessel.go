package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/tank"
	"cellar.example/mustwatch/domain/text"
)

// TankNumber is what is painted on a vessel or a press.
type TankNumber string

// VesselSetup is what is known of a vessel however full it is.
type VesselSetup struct {
	Number   TankNumber      `json:"vessel" toml:"vessel"`
	Row      string          `json:"row,omitempty" toml:"row"` // where it stands, in the house's words
	Brim     quantity.Volume `json:"brim" toml:"brim"`
	Use      stage.Use       `json:"use" toml:"use"`
	LimitPct float64         `json:"limit_pct" toml:"limit_pct"` // working limit, % of brim
	Manifold string          `json:"manifold,omitempty" toml:"manifold"`
	JacketKW float64         `json:"jacket_kw,omitempty" toml:"jacket_kw"`
	// UA is what the jacket lets through in kW/K, Coolant what runs in it. Both
	// or neither: then cooling is a curve towards the coolant.
	UA      float64           `json:"ua_kw_k,omitempty" toml:"ua_kw_k"`
	Coolant *quantity.Celsius `json:"coolant,omitempty" toml:"coolant"`
	Inside  *tank.Inside      `json:"inside,omitempty" toml:"inside"`
	// Retired takes an empty vessel out of the house; set up again, its number is in use again.
	Retired bool `json:"retired,omitempty" toml:"-"`
}

// Limit is the working limit as a volume.
func (v VesselSetup) Limit() quantity.Volume {
	return quantity.Volume(float64(v.Brim) * v.LimitPct / 100)
}

// Part is the share of one load in a vessel, exact to the millilitre.
type Part struct {
	Load    LoadID          `json:"load"`
	Variety string          `json:"variety"`
	Volume  quantity.Volume `json:"volume"`
}

// Dose is one product given to one content. Doses follow the juice through
// moves; carried ones keep the instant and the person of the first pouring.
type Dose struct {
	Seq     Seq             `json:"seq,omitempty"`
	At      time.Time       `json:"at"`
	By      Initials        `json:"by"`
	Second  Initials        `json:"second,omitempty"`
	Product ProductID       `json:"product"`
	Class   Class           `json:"class"`
	Rate    quantity.Rate   `json:"rate"`            // as given, in the label's unit
	PerHL   float64         `json:"per_hl"`          // g/hL or mL/hL of Here, on the juice it is in now
	First   float64         `json:"first,omitempty"` // the same on the juice it was poured into
	Amount  quantity.Amount `json:"amount"`          // of the active: for SO2 the gas
	// Strength is that of the product when it was poured.
	Strength dose.Strength    `json:"strength,omitzero"`
	Drawn    quantity.Amount  `json:"drawn,omitzero"`     // what left the stock
	Treated  quantity.Volume  `json:"treated,omitzero"`   // the volume it was calculated on
	Held     quantity.Volume  `json:"held,omitzero"`      // what the vessel held then, as was known when it was saved
	ByRate   bool             `json:"by_rate,omitempty"`  // only the rate was said: it follows what the vessel held
	OnMass   quantity.Mass    `json:"on_mass,omitzero"`   // the grapes it was calculated on
	OnLoads  []LoadID         `json:"on_loads,omitempty"` // where their mass is that of loads
	Water    quantity.Volume  `json:"water,omitzero"`     // make-up water
	TestAt   time.Time        `json:"test_at,omitzero"`   // a typed time for the test
	Number   int              `json:"number,omitempty"`   // first, second … of its class
	Counted  bool             `json:"counted,omitempty"`  // already out of the stock count
	LookAt   string           `json:"look_at,omitempty"`  // why it should be looked at again
	Where    TankNumber       `json:"where,omitempty"`    // the vessel it was poured into
	Reason   string           `json:"reason,omitempty"`
	Temp     quantity.Celsius `json:"temp,omitzero"`
	Seen     TankNumber       `json:"read_back,omitempty"` // the number that was read where it went in
	// Here is what of Amount is in the content; nth tells the pourings of one record apart.
	Here quantity.Amount `json:"-"`
	nth  int
	twin int // which of several doses of one product that an opening says of a vessel
}

// Measured is a set of values read off one vessel at one instant. A nil field
// was not read.
type Measured struct {
	Temp      *quantity.Celsius `json:"temp,omitempty"`
	Density   *quantity.Density `json:"density,omitempty"`
	Brix      *float64          `json:"brix,omitempty"`
	Turbidity *float64          `json:"ntu,omitempty"`
	PH        *float64          `json:"ph,omitempty"`
	Volume    *quantity.Volume  `json:"dip,omitempty"`
	Stick     *tank.Length      `json:"stick,omitempty"` // what the stick said, when the volume comes from it
	Words     string            `json:"words,omitempty"`
}

// Reading is a Measured with when and who.
type Reading struct {
	Seq Seq
	At  time.Time
	By  Initials
	Measured
}

// Check is one clarity check, from the alcohol going in to the verdict.
type Check struct {
	ID        string
	Seq       Seq
	Recipe    clarity.Recipe
	Started   time.Time
	StartedBy Initials
	Sampling
	ReadAt   time.Time
	ReadBy   Initials
	Sample   clarity.Look
	Control  clarity.ControlLook
	Second   clarity.SecondLook
	SecondAt time.Time
	Verdict  clarity.Verdict
	Why      string
	Protein  bool
	knew     []Seq // what came in at the very instant of the sample, and before it
}

// Open reports whether the check still waits for a reading.
func (c *Check) Open() bool { return c != nil && (c.Verdict == "" || c.Verdict == clarity.Pending) }

// Parent is a lot from which juice came.
type Parent struct {
	Lot    string
	From   string // number or press
	Volume quantity.Volume
	At     time.Time
}

// Hold says that a vessel must not move, by whose word.
type Hold struct {
	Seq      Seq       `json:"-"`
	At       time.Time `json:"-"`
	By       Initials  `json:"-"`
	Reason   string    `json:"reason"`
	Releaser Initials  `json:"releaser"`
	Tag      string    `json:"tag,omitempty"` // number of the physical tag
	Until    time.Time `json:"until,omitzero"`
}

// Vessel is one vessel: what it is, and what it holds by all that was said of it.
type Vessel struct {
	VesselSetup
	Now  Content
	Hold *Hold

	retired time.Time // since then it is out of the house
	amiss   amiss
	faultAt time.Time // when its last fault was written
	odd     *Odd      // that litres of it are unexplained by what was written of another time
	book    *book     // where its account stands
}

// InUse reports whether a vessel is one of the house's. One that is retired is shown again
// when a late line puts something into it.
func (v *Vessel) InUse() bool { return !v.Retired || !v.Now.Stage.Empty() }

// Content is what a vessel holds and where that stands: the fold of its account.
type Content struct {
	Stage   stage.Stage
	Since   time.Time
	Before  stage.Stage // the stage before a check began
	Note    string
	Volume  quantity.Volume
	Parts   []Part
	Lot     string // from empty to empty
	Kind    stage.Substance
	Title   string // a name given by hand, else from the parts
	Parents []Parent
	Open    bool        // juice is still running in
	Source  subject.Ref // where it fills from while open: the first of
	Feeds   []subject.Ref
	LastIn  time.Time // last untreated juice in
	Timers  []Timer   // the clocks that run on it, but for those that are calculated from it
	// contactHere says that the enzyme was poured here, or came with the whole lot: juice
	// that brings a little along calls nobody.
	contactHere bool
	calledOff   time.Time // contacts that began up to then call nobody any more
	lastInSeq   Seq
	stageSeq    Seq       // of the record that set its target
	cameIn      time.Time // last volume in, of whatever kind
	cameSeq     Seq
	Doses       []Dose
	Temps       *Trail
	Looked      time.Time       // when somebody last read, tested or dosed it
	Came        quantity.Volume // all that came in, whatever has left since
	Last        Reading         // latest of each value, with the instant of the latest temperature in TempAt
	TempAt      time.Time
	TempCalc    bool      // it is the heat balance of what flowed together; nobody has read it since
	NTUAt       time.Time // of the latest turbidity
	// DensityWas is the first density of this content, to see a start.
	DensityWas   quantity.Density
	DensityWasAt time.Time
	DensityAt    time.Time // of the latest density
	Checks       []*Check
	Brought      *Brought // the last word on juice that came in, by the tests where it came from
	Drops        []PaperDropped
	PectinGone   time.Time // instant of the valid negative that still stands
	Tested       time.Time // doses before this instant have had their contact
	Target       *quantity.Celsius
	route        Route  // as it was decided, "" where it goes by how its loads were booked
	Gauge        Gauged // where its volume comes from
	CleanSince   time.Time
	Method       string
	SeenTo       []CleanStep // of the house's list, when it was written clean
	Unseen       []CleanStep
}

// CleanUntil is the instant up to which an empty vessel counts as clean, by the
// house's setting; ok is false where it is not clean or nobody knows since when.
// It is no clock: nothing need be done until the vessel is wanted.
func (s *State) CleanUntil(v *Vessel) (until time.Time, ok bool) {
	c := &v.Now
	if c.Stage != stage.Clean || c.CleanSince.IsZero() || s.House.Limits.CleanFor <= 0 {
		return time.Time{}, false
	}
	return c.CleanSince.Add(s.House.Limits.CleanFor.Duration()), true
}

// Fill is the share of the brim, 0 to 1.
func (v *Vessel) Fill() float64 {
	if v.Brim == 0 {
		return 0
	}
	return float64(v.Now.Volume) / float64(v.Brim)
}

// Check is the vessel's check in progress, or nil.
func (c *Content) Check() *Check {
	if n := len(c.Checks); n > 0 && c.Checks[n-1].Open() {
		return c.Checks[n-1]
	}
	return nil
}

// Variety is the name of the greatest part.
func (c *Content) Variety() string {
	if c.Title != "" {
		return c.Title
	}
	sums := map[string]quantity.Volume{}
	best := ""
	for _, p := range c.Parts {
		sums[p.Variety] += p.Volume
		if best == "" || sums[p.Variety] > sums[best] {
			best = p.Variety
		}
	}
	return best
}

// Strangers are the parts that are not of the main variety, by variety.
func (c *Content) Strangers() []Part {
	main, out := c.Variety(), []Part{}
	for _, p := range c.Parts {
		if p.Variety == main || c.Title != "" || p.Volume == 0 {
			continue
		}
		known := false
		for i := range out {
			if out[i].Variety == p.Variety {
				out[i].Volume += p.Volume
				known = true
			}
		}
		if !known {
			out = append(out, Part{Variety: p.Variety, Volume: p.Volume})
		}
	}
	return out
}

// Name is what the content is called: "Muscat juice", "Syrah red must".
func (c *Content) Name() string { return c.Called().In(text.Plain{}) }

var (
	juiceOf   = text.New("juice-of", "{variety} {kind}")
	juiceMust = text.New("juice-must", "{variety} must")
	juiceLees = text.New("juice-lees", "juice lees")
)

// Called is the same, for a text that facts keep.
func (c *Content) Called() text.Say {
	if c.Volume == 0 {
		return text.Say{}
	}
	v := c.Variety()
	switch {
	case c.Kind == stage.NoProduct || c.Kind == stage.Wine || c.Kind == stage.Yeast || c.Kind == "":
		return text.Words(v)
	case c.Kind == stage.RedMust || c.Kind == stage.WhiteMust:
		return juiceMust.Say(v)
	case c.Kind == stage.Lees:
		return juiceLees.Say()
	}
	return juiceOf.Say(v, c.Kind)
}
