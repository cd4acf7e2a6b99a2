package stage

import (
	"slices"

	"cellar.example/mustwatch/domain/caution"
)

// Stage is where a vessel's content stands on its way.
type Stage string

// The stages of a vessel. Their order is the way downhill.
const (
	SkinContact Stage = "skin contact"
	HotHold     Stage = "hot hold"
	CooledBack  Stage = "cooled down"
	Filling     Stage = "filling"
	Contact     Stage = "contact"
	CheckDue    Stage = "pectin test"
	Settling    Stage = "settling"
	Flotation   Stage = "flotation"
	CapRise     Stage = "float cap forming"
	Racked      Stage = "racked"
	Waiting     Stage = "waiting"
	ColdSoak    Stage = "cold soak"
	Maceration  Stage = "maceration"
	DrawingOff  Stage = "draining"
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
	return []Stage{SkinContact, HotHold, CooledBack, Filling, Contact, CheckDue, Settling, Flotation, CapRise, Racked,
		Waiting,
		ColdSoak, Maceration, DrawingOff, Fermenting, Stored, JuiceLees, Dirty, Cleaning, Clean, OutOfUse}
}

// Empty reports whether a vessel in this stage holds nothing.
func (g Stage) Empty() bool {
	return g == Dirty || g == Cleaning || g == Clean || g == OutOfUse
}

// Following is how one stage may follow another.
type Following int

const (
	Never      Following = iota // not at all
	Freely                      // as a matter of course
	WithReason                  // with a reason
	WhenClear                   // only after a valid negative clarity check
)

// follows is the table of legal moves of one vessel's content (common practice,
// no source; the stage definitions follow the OIV Code, Part II). What is not
// listed may not follow. Hold is not a stage: it lies over any stage.
var follows = map[Stage]map[Stage]Following{
	SkinContact: {Filling: WithReason, Contact: Freely, Waiting: Freely, DrawingOff: Freely, Maceration: WithReason},
	HotHold:     {CooledBack: Freely},
	CooledBack:  {Contact: Freely, Waiting: Freely, Maceration: Freely},
	Filling: {Contact: Freely, CheckDue: WithReason, Settling: WithReason, Fermenting: WithReason, Waiting: Freely,
		CooledBack: Freely, HotHold: Freely, ColdSoak: Freely, Maceration: Freely, SkinContact: Freely},
	Contact: {Filling: Freely, CheckDue: Freely, Settling: WithReason, Flotation: WhenClear, Fermenting: WithReason,
		Waiting: WithReason},
	CheckDue: {Contact: Freely, Settling: Freely, Flotation: WhenClear, Fermenting: WithReason, Waiting: Freely},
	Settling: {Contact: WithReason, CheckDue: WithReason, Flotation: WhenClear, Racked: Freely,
		Fermenting: WithReason, Waiting: WithReason},
	Flotation: {CapRise: Freely, Settling: WithReason, Racked: Freely, Fermenting: WithReason},
	CapRise:   {Settling: WithReason, Flotation: WithReason, Racked: Freely, Fermenting: WithReason},
	Racked:    {Settling: WithReason, Fermenting: Freely, Waiting: Freely},
	Waiting: {Filling: Freely, Contact: Freely, CheckDue: Freely, Settling: Freely, Flotation: WhenClear,
		Racked: Freely, Fermenting: Freely, Stored: Freely},
	ColdSoak:   {Contact: Freely, Maceration: Freely, DrawingOff: WithReason, Fermenting: Freely},
	Maceration: {DrawingOff: Freely, Fermenting: WithReason},
	DrawingOff: {Maceration: WithReason, Fermenting: Freely},
	Fermenting: {Stored: Freely, Waiting: WithReason},
	Stored:     {Waiting: WithReason, Fermenting: WithReason},
	JuiceLees:  {Waiting: WithReason},
	Dirty:      {Cleaning: Freely, Clean: Freely, OutOfUse: Freely},
	Cleaning:   {Clean: Freely, Dirty: Freely, OutOfUse: Freely},
	Clean:      {Dirty: Freely, Cleaning: Freely, OutOfUse: Freely},
	OutOfUse:   {Dirty: Freely, Cleaning: Freely},
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

// IsJuice reports whether clarity checks and settling make sense for it.
func (k Substance) IsJuice() bool { return k == Juice || k == PressJuice || k == ClearJuice }

// To is how a stage may follow this one.
func (g Stage) To(next Stage) Following { return follows[g][next] }

// Known reports whether it is a stage at all.
func (g Stage) Known() bool { return slices.Contains(Stages(), g) }

// byStage are the stages that are a danger by themselves.
var byStage = map[Stage][]caution.Code{
	Cleaning:  {caution.Caustic, caution.Vacuum},
	Flotation: {caution.GasCover}, CapRise: {caution.GasCover},
	Clean: {caution.Entry, caution.Nitrogen}, Dirty: {caution.Entry, caution.Nitrogen}, OutOfUse: {caution.Entry,
		caution.Nitrogen},
	DrawingOff: {caution.Entry, caution.Skins},
	HotHold:    {caution.Scald},
	Fermenting: {caution.CO2}, Maceration: {caution.CO2},
}

// Cautions are those of a vessel in a stage.
func (g Stage) Cautions() []caution.Code { return byStage[g] }
