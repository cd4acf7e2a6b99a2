package sheet

// Mark is what ties a sheet to the journal it was made from. The caller knows
// it; the facts do not.
type Mark struct {
	Seq     uint64 // of the last record on the sheet
	Hash    string // of the journal up to there
	Version string // of the program
	Demo    bool   // the journal is the demo night
}

// Row is one line of the sheet: when, where, what, who. Every block uses the
// same four, so that a tired reader learns the columns once.
type Row struct {
	When  string // an instant of the house, "" if there is none
	Where string // a number, a press, a load, or a place in words
	What  string
	Who   string // initials
	Late  int    // whole minutes past due; 0 unless Over
	Over  bool   // it is past its due and not done
	Brief string // What in a few words, where only those have room; "" where it has none
	Minor bool   // it goes to the back before its neighbours when room is short
}

// Count is one number that must be seen at first sight. Zero is information.
type Count struct {
	Name string
	N    int
}

// Head says which house, which shift, and how old the sheet is.
type Head struct {
	House   string
	Span    string   // with weekdays and zone
	Changes []string // what is to be known of the hours of the shift: of its clocks, of its end
	Out, In string
	Crew    string
	Day     string // of printing: "Fri 25 Sep"
	Time    string // of printing: "05:55", shown large
	Counts  []Count
}

// Safety is the block that prints even when nothing was reported.
type Safety struct {
	// Emergencies stand before all else, a sentence each: those nobody has ended.
	Emergencies []string
	NoEntry     string   // stands always
	Rows        []Row    // locks, hot must, gas, cleaning, notes, near misses
	None        []string // of what there is no report; that is no all-clear
}

// Dues is a list of what is due up to an instant.
type Dues struct {
	Until string
	Rows  []Row
}

// Press is one press: what it does, when that ends, when it is free.
type Press struct {
	Ends   string
	Number string
	What   string
	Free   string
}

// Tank is one vessel with something in it.
type Tank struct {
	Since   string // of the stage; "?" when it was taken over in it
	Number  string
	Content string // what it is, without the word juice
	Volume  string // without its unit, see Units
	Temp    string // without its unit; "?" when never read
	Stage   string
	Looked  string // when somebody last read, tested or dosed it
}

// Group is a few codes under one word.
type Group struct {
	Name  string
	Codes []Code
}

// Code is a tank or a press by its number, and what is said of it.
type Code struct {
	Number string
	Holds  string // what it takes up to its limit, or why it is not to fill: where there is room
	Says   string // what must be known whatever room there is
}

// String is a code in words.
func (c Code) String() string { return c.Text(true) }

// Text is a code in words, with what it takes where that is wanted.
func (c Code) Text(holds bool) string {
	out := c.Number
	if holds && c.Holds != "" {
		out += " (" + c.Holds + ")"
	}
	if c.Says != "" {
		out += " " + c.Says
	}
	return out
}

// Word is a code of the house and what it stands for: initials, a product lot, a
// recipe. The paper explains those that stand on it.
type Word struct {
	Code, Says string
}

// Sum is one number of the shift with its name.
type Sum struct {
	Name, Value string
}

// Booked is what came of one variety of one grower against what was booked.
type Booked struct {
	Name, Loads, Mass string
}

// Addition is one product given to one vessel.
type Addition struct {
	When, Where, Product, Rate, Basis, Weighed, Number, By string
}

// Test is one clarity check. A test that is not read yet has no verdict.
type Test struct {
	When, Where, Recipe, Sample, Control, Verdict, By string

	Paper bool // by a house method on paper
}

// Move is one move with its balance.
type Move struct {
	When, Where, To, Lees, Loss, Unexplained, By string
}

// Units are the units of the columns without their own.
type Units struct {
	Volume, Temp string
}

// Back is the full record behind the front page.
type Back struct {
	Tanks       []Tank
	Additions   []Addition
	Tests       []Test
	Moves       []Move
	Corrections []Row
	Alarms      []Sum
	Plan        []Booked
	Notes       []Row
	Clock       []Row // what befell the machine's clock
}

// Sheet is the whole handover sheet, in the order in which it is read aloud.
type Sheet struct {
	Mark  Mark
	Units Units

	Head      Head    // A
	Safety    Safety  // B
	Holds     []Row   // C: do not touch
	Next      Dues    // D: the next two hours, overdue first
	Later     Dues    // D: from there to the end of the coming shift
	NoHome    []Row   // E: not decided, no home
	Presses   []Press // F
	Yard      []Row   // F: loads waiting, running in, expected
	Tanks     []Tank  // G: those that are not quiet
	Quiet     []Group // G: the others, as codes
	Clean     []Group // H: clean and free, with the volume they take in brackets
	NotClean  []Group // H: empty, but not to be filled
	Happened  []Row   // I
	Overrides []Row   // I: stops lifted or broken
	Taken     []Row   // I: warnings taken
	Short     []Row   // J
	Sums      []Sum   // K
	Promised  []Row   // L

	Valid string // until when the sheet may be used
	Past  string // of a shift that is over: when it was printed; it is as of its end
	Words []Word // all codes that may stand on it
	Back  Back
}
