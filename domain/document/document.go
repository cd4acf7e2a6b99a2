package document

import (
	"math"
	"time"

	"cellar.example/mustwatch/domain/subject"
)

// Format is the version of the document. Fields may be added without another one.
const Format = 1

// Document is a cellar at one instant. Lists are never null, and their order depends on
// nothing but what is in them.
type Document struct {
	Format      int       `json:"format"`
	Seq         uint64    `json:"seq"` // of the last record that was read
	At          time.Time `json:"at"`
	House       string    `json:"house"`
	Zone        string    `json:"zone"` // of the house; all instants are in UTC
	Vessels     []Vessel  `json:"vessels"`
	Presses     []Press   `json:"presses"`
	Clocks      []Clock   `json:"clocks"`
	Unexplained int64     `json:"unexplained_ml"`
	Loss        int64     `json:"loss_ml"`
	Faults      []Fault   `json:"faults"`
	Balance     []Balance `json:"balance"` // by load
	Given       []Given   `json:"dose_balance"`
	Total       Sums      `json:"total"`
}

// Vessel is one vessel with what it holds.
type Vessel struct {
	Vessel  string    `json:"vessel"`
	Stage   string    `json:"stage"`
	Since   time.Time `json:"since,omitzero"` // of the stage
	Volume  int64     `json:"volume_ml"`
	Kind    string    `json:"kind,omitempty"`
	Parts   []Part    `json:"parts"`
	Doses   []Dose    `json:"doses"`
	Temp    *float64  `json:"temp_c,omitempty"`
	TempAt  time.Time `json:"temp_at,omitzero"`
	Astray  int64     `json:"unexplained_ml,omitempty"` // of all that it held, without signs
	Contact *Contact  `json:"contact,omitempty"`
	Check   *Check    `json:"pectin_test,omitempty"`
	Can     []Step    `json:"can"`
}

// Part is what is there of one load.
type Part struct {
	Load    string `json:"load"`
	Variety string `json:"variety"`
	ML      int64  `json:"ml"`
	Grams   int64  `json:"g,omitempty"` // of grapes in a press
}

// Dose is what of one pouring is in this vessel by share, wherever it was poured.
type Dose struct {
	Product string    `json:"product"`
	Class   string    `json:"class"`
	Amount  float64   `json:"amount"`   // to the milligram or the microlitre
	Unit    string    `json:"unit"`     // g or mL
	PerHL   float64   `json:"per_hl"`   // of it, on the juice that it is in now
	FirstAt time.Time `json:"first_at"` // when and where it was poured
	FirstIn string    `json:"first_in"`
}

// Contact is an enzyme contact that runs.
type Contact struct {
	Since time.Time `json:"since"`
	Due   time.Time `json:"due,omitzero"` // of its test; left out where it cannot be told
	Row   *Row      `json:"row,omitempty"`
}

// Row is the row of the product's card that a contact goes by.
type Row struct {
	From    float64 `json:"from_c"`
	To      float64 `json:"to_c"`
	Minutes int64   `json:"minutes"`
}

// Check is the latest clarity check. Without a verdict its reading is still to come.
type Check struct {
	Begun   time.Time `json:"begun"`
	Read    time.Time `json:"read,omitzero"`
	Sample  string    `json:"sample,omitempty"`
	Control string    `json:"control,omitempty"`
	Verdict string    `json:"verdict,omitempty"`
}

// Step is one thing that might be done next, and the codes of what speaks against it
// or asks first.
type Step struct {
	Step string   `json:"step"`
	Can  bool     `json:"can"`
	Why  []string `json:"why"`
}

// Press is one press with what is in it.
type Press struct {
	Press       string    `json:"press"`
	State       string    `json:"state"`
	Since       time.Time `json:"since,omitzero"`
	Parts       []Part    `json:"parts"`
	Programme   string    `json:"programme,omitempty"`
	Started     time.Time `json:"started,omitzero"`
	End         time.Time `json:"end,omitzero"`
	MainOut     int64     `json:"free_run_ml"`
	FractionOut int64     `json:"pressings_ml"`
}

// Clock is one clock that runs.
type Clock struct {
	Subject subject.Ref `json:"subject"`
	Verb    string      `json:"verb"`
	Object  string      `json:"object,omitempty"` // what the verb is done to
	What    string      `json:"what"`             // act-at, not-before or not-after
	Due     time.Time   `json:"due"`
	State   string      `json:"state"`
	Stored  bool        `json:"set_by_hand"` // somebody has set its due; else it follows from what was written
}

// The states of a clock.
const (
	Running = "running"      // not due yet
	Open    = "open"         // it may be done since its due
	Rings   = "rings"        // an alarm that nobody has taken
	Seen    = "acknowledged" // an alarm that somebody has taken
	Snoozed = "snoozed"      // an alarm that rings again later
)

// Fault is something that was written of a vessel and cannot have been so.
type Fault struct {
	Vessel string    `json:"vessel"`
	Kind   string    `json:"kind"`
	At     time.Time `json:"at"`
	Seqs   []uint64  `json:"seqs"`    // of the entries that do not go together
	Held   int64     `json:"held_ml"` // by the ledger
	Said   int64     `json:"said_ml"` // by the entry, or the brim
	What   string    `json:"what,omitempty"`
}

// Balance is what became of one load in the vessels.
type Balance struct {
	Load    string `json:"load"`
	Variety string `json:"variety"`
	Sums
}

// Sums add up: in = held + out + loss + unexplained, each in millilitres. What went
// from vessel to vessel is in none of them.
type Sums struct {
	In          int64 `json:"in_ml"`   // from presses, trailers and the opening
	Held        int64 `json:"held_ml"` // in all vessels
	Out         int64 `json:"out_ml"`  // into presses, and out of the house
	Sent        int64 `json:"sent_ml"` // of it, out of the house: bottled, on a tanker, sold
	Loss        int64 `json:"loss_ml"`
	Unexplained int64 `json:"unexplained_ml"` // negative where more went than there was
}

// AddsUp reports whether what came in is accounted for.
func (s Sums) AddsUp() bool { return s.In == s.Held+s.Out+s.Loss+s.Unexplained }

// Add adds what another has.
func (s *Sums) Add(o Sums) {
	s.In, s.Held, s.Out, s.Sent = s.In+o.In, s.Held+o.Held, s.Out+o.Out, s.Sent+o.Sent
	s.Loss, s.Unexplained = s.Loss+o.Loss, s.Unexplained+o.Unexplained
}

// Given is what became of one dose: given = held + out + loss + unexplained, each in its
// unit and whole thousandths of it.
type Given struct {
	Product     string    `json:"product"`
	Class       string    `json:"class"`
	FirstAt     time.Time `json:"first_at"` // when and where it was poured
	FirstIn     string    `json:"first_in"`
	Unit        string    `json:"unit"` // g or mL
	Given       float64   `json:"given"`
	Held        float64   `json:"held"` // in all vessels
	Out         float64   `json:"out"`  // with must into presses, less what came back with juice; out of the house
	Sent        float64   `json:"sent"` // of it, out of the house
	Loss        float64   `json:"loss"`
	Unexplained float64   `json:"unexplained"`
}

// AddsUp reports whether what was given is accounted for.
func (g Given) AddsUp() bool {
	return thousandths(g.Given) == thousandths(g.Held)+thousandths(g.Out)+thousandths(g.Loss)+thousandths(g.Unexplained)
}

func thousandths(x float64) int64 { return int64(math.Round(1000 * x)) }
