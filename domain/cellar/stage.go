package cellar

// Stage is where a vessel's content stands on its way.
type Stage string

// The stages of a vessel. Their order is the way downhill.
const (
	SkinContact Stage = "skin contact"
	HotHold     Stage = "hot hold"
	CooledBack  Stage = "cooled back"
	Filling     Stage = "filling"
	Contact     Stage = "contact"
	CheckDue    Stage = "check"
	Settling    Stage = "settling"
	Flotation   Stage = "flotation"
	CapRise     Stage = "cap rising"
	Racked      Stage = "racked"
	Waiting     Stage = "waiting"
	ColdSoak    Stage = "cold soak"
	Maceration  Stage = "maceration"
	DrawingOff  Stage = "drawing off"
	Fermenting  Stage = "fermenting"
	Stored      Stage = "stored"
	JuiceLees   Stage = "juice lees"
	Dirty       Stage = "empty dirty"
	Cleaning    Stage = "cleaning"
	Clean       Stage = "empty clean"
	OutOfUse    Stage = "out of service"
)

// Stages lists all stages, downhill.
func Stages() []Stage {
	return []Stage{SkinContact, HotHold, CooledBack, Filling, Contact, CheckDue, Settling, Flotation, CapRise, Racked, Waiting,
		ColdSoak, Maceration, DrawingOff, Fermenting, Stored, JuiceLees, Dirty, Cleaning, Clean, OutOfUse}
}

// Empty tells whether a vessel in this stage holds nothing.
func (g Stage) Empty() bool {
	return g == Dirty || g == Cleaning || g == Clean || g == OutOfUse
}

// step is how one stage may follow another.
type step int

const (
	stepNo     step = iota // not at all
	stepYes                // as a matter of course
	stepReason             // with a reason
	stepClear              // only after a valid negative clarity check
)

// follows is the table of legal moves of one vessel's content (common practice,
// no source; the stage definitions follow the OIV Code, Part II). What is not
// listed may not follow. Hold is not a stage: it lies over any stage.
var follows = map[Stage]map[Stage]step{
	SkinContact: {Filling: stepReason, Contact: stepYes, Waiting: stepYes, DrawingOff: stepYes, Maceration: stepReason},
	HotHold:     {CooledBack: stepYes},
	CooledBack:  {Contact: stepYes, Waiting: stepYes, Maceration: stepYes},
	Filling:     {Contact: stepYes, CheckDue: stepReason, Settling: stepReason, Fermenting: stepReason, Waiting: stepYes, CooledBack: stepYes, HotHold: stepYes, ColdSoak: stepYes, Maceration: stepYes, SkinContact: stepYes},
	Contact:     {Filling: stepYes, CheckDue: stepYes, Settling: stepReason, Flotation: stepClear, Fermenting: stepReason, Waiting: stepReason},
	CheckDue:    {Contact: stepYes, Settling: stepYes, Flotation: stepClear, Fermenting: stepReason, Waiting: stepYes},
	Settling:    {Contact: stepReason, CheckDue: stepReason, Flotation: stepClear, Racked: stepYes, Fermenting: stepReason, Waiting: stepReason},
	Flotation:   {CapRise: stepYes, Settling: stepReason, Racked: stepYes, Fermenting: stepReason},
	CapRise:     {Settling: stepReason, Flotation: stepReason, Racked: stepYes, Fermenting: stepReason},
	Racked:      {Settling: stepReason, Fermenting: stepYes, Waiting: stepYes},
	Waiting:     {Filling: stepYes, Contact: stepYes, CheckDue: stepYes, Settling: stepYes, Flotation: stepClear, Racked: stepYes, Fermenting: stepYes, Stored: stepYes},
	ColdSoak:    {Contact: stepYes, Maceration: stepYes, DrawingOff: stepReason, Fermenting: stepYes},
	Maceration:  {DrawingOff: stepYes, Fermenting: stepReason},
	DrawingOff:  {Maceration: stepReason, Fermenting: stepYes},
	Fermenting:  {Stored: stepYes, Waiting: stepReason},
	Stored:      {Waiting: stepReason, Fermenting: stepReason},
	JuiceLees:   {Waiting: stepReason},
	Dirty:       {Cleaning: stepYes, Clean: stepYes, OutOfUse: stepYes},
	Cleaning:    {Clean: stepYes, Dirty: stepYes, OutOfUse: stepYes},
	Clean:       {Dirty: stepYes, Cleaning: stepYes, OutOfUse: stepYes},
	OutOfUse:    {Dirty: stepYes, Cleaning: stepYes},
}

// Substance is what kind of thing a vessel holds.
type Substance string

// The substances a cellar tells apart.
const (
	Juice      Substance = "juice"
	PressJuice Substance = "press juice"
	ClearJuice Substance = "clear juice"
	WhiteMust  Substance = "must on skins" // white must in skin contact, drained skins
	RedMust    Substance = "red must"
	HotMust    Substance = "hot must"
	Lees       Substance = "lees"
	Wine       Substance = "wine"
	Yeast      Substance = "yeast"
	NoProduct  Substance = "not product"
)

// isJuice tells whether clarity checks and settling make sense for it.
func (k Substance) isJuice() bool { return k == Juice || k == PressJuice || k == ClearJuice }
