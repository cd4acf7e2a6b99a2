package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// RuleName is a rule by its code and what it guards.
type RuleName struct {
	Code  gate.Code
	Title string
}

// Rules lists the rules in the order in which any attempt is put to them. Limits are
// the house's, see Limits; those without a source beside them are common practice, no
// source.
func Rules() []RuleName { return slices.Clone(ruleNames) }

var ruleNames = []RuleName{
	{"H17", "somebody is inside, goes in, or watches who is inside"},
	{"H02", "clean destination"},
	{"H03", "what can go where"},
	{"H04", "press load over the press's rating"},
	{"H05", "juice tanks named before the press starts"},
	{"H06", "working limit of a vessel"},
	{"H07", "double dose, dose maximum"},
	{"H08", "enzyme into too hot must"},
	{"H09", "pectin gone before flotation or bentonite"},
	{"H10", "a test result that proves nothing"},
	{"H11", "racking onto another lot or a barred vessel"},
	{"H12", "room and pressure for a flotation"},
	{"H13", "number read back at the valve"},
	{"H14", "must too hot for the press"},
	{"H15", "hold"},
	{"H16", "cleaning on a manifold with a full vessel"},
	{"H18", "an emergency ended over bad air"},
	{"W01", "load waiting long"},
	{"D14", "a trailer's tare far from its last"},
	{"D15", "another variety than booked"},
	{"D23", "more than booked"},
	{"D32", "a load number like another's"},
	{"D33", "a press goes on after a lock-out"},
	{"W02", "warm white grapes"},
	{"W03", "rot"},
	{"W04", "skin contact below its minimum"},
	{"W05", "skin contact over its maximum"},
	{"W06", "press badly filled"},
	{"W07", "no room for the pressings"},
	{"W08", "juice of loads far apart"},
	{"W09", "too cold for the card"},
	{"W10", "enzyme apart from SO2 and bentonite"},
	{"W11", "third positive in a row, or long after the first dose"},
	{"W12", "too warm to settle, or warming while it settles"},
	{"W13", "lees of a racking"},
	{"W14", "temperature of a flotation"},
	{"W15", "balance of a move"},
	{"W16", "hot hold over its maximum"},
	{"W17", "red must too hot, or soon"},
	{"W18", "cold inoculation"},
	{"W19", "cleaned long ago"},
	{"D02", "programme ended early or without a volume"},
	{"D03", "temperature far from the last one"},
	{"D04", "racked before its time"},
	{"D08", "cleared another way than the route says"},
	{"D10", "cleared against an order"},
	{"D11", "dip far from the ledger"},
	{"D09", "dose at another rate than ordered"},
	{"D01", "dose outside the range of the label"},
	{"D12", "dose far from the last one, or in another unit than the label's"},
	{"D13", "cleared while juice still runs in"},
	{"D05", "control drawn long ago or opened often"},
	{"D06", "weak or old alcohol"},
	{"D27", "a haze called unchanged too soon"},
	{"D07", "turbidity of a racking"},
	{"D20", "moved before it is ready"},
	{"D25", "a very small share of a load"},
	{"D24", "a correction far from the old value"},
	{"D30", "handed over long before the shift ends"},
	{"D31", "a correction that opens a gate"},
	{"D26", "a press called empty that gave no juice"},
	{"W21", "looking earlier than the card says"},
	{"D21", "not all of the cleaning done"},
	{"D22", "a volume only estimated"},
	{"W22", "hot vessel nearly full"},
	{"W23", "too much water with additions"},
}

// What is tried is a type with just what its rules look at, and its table says which
// of them are asked. What several attempts have in common is a type that they embed,
// and the rules on it are its methods: a new rule is a row here, in the place that its
// code has above, and a method.
type table[T any] = gate.Table[T, *decision]

// onVessel is what is done to a vessel, onPress to a press.
type (
	onVessel struct{ of *Vessel }
	onPress  struct{ press *Press }
)

// inflows are what comes into vessels, in one attempt.
type inflows []inflowTry

type inflowTry struct {
	vessel  *Vessel
	volume  quantity.Volume
	kind    stage.Substance
	from    subject.Ref
	loads   []LoadID // what it is of
	variety string   // of which grapes, "" where it is not one
	field   string
	running bool // it has run in already; only the amount is still open
	lees    bool
	seen    TankNumber // what was read at the valve
	temp    *quantity.Celsius
	doubt   quantity.Volume // what an estimated volume may be out by
}

// moveTry is content that leaves a vessel.
type moveTry struct {
	inflows
	out     *Vessel
	content *Content // what leaves
	move    *Move
	press   *Press // into which it goes, nil where all of it goes into vessels
}

var moveRules = table[*moveTry]{
	{Code: "H17", Find: (*moveTry).inhabited},
	{Code: "H03", Find: (*moveTry).wrongKind},
	{Code: "H06", Find: (*moveTry).tooFull},
	{Code: "H11", Find: (*moveTry).otherLot},
	{Code: "H13", Find: (*moveTry).notReadBack},
	{Code: "H14", Find: (*moveTry).hotPress},
	{Code: "H15", Find: leaves((*decision).onHold)},
	{Code: "W04", Find: leaves((*decision).skinsEarly)},
	{Code: "W05", Find: leaves((*decision).skinsOver)},
	{Code: "W13", Find: (*moveTry).oddLees},
	{Code: "W15", Find: (*moveTry).imbalance},
	{Code: "W16", Find: leaves((*decision).hotOver)},
	{Code: "W19", Find: (*moveTry).staleClean},
	{Code: "D04", Find: leaves((*decision).tooSoon)},
	{Code: "D07", Find: (*moveTry).oddTurbidity},
	{Code: "D20", Find: (*moveTry).unready},
	{Code: "D21", Find: (*moveTry).unseenClean},
	{Code: "D22", Find: (*moveTry).estimated},
	{Code: "W22", Find: (*moveTry).hotFull},
}

// juiceRules are for juice that a press gives, tippedRules for must of which the
// volume is known once all of its load is in.
var (
	juiceRules = table[inflows]{
		{Code: "H17", Find: inflows.inhabited},
		{Code: "H02", Find: inflows.unclean},
		{Code: "H03", Find: inflows.wrongKind},
		{Code: "H06", Find: inflows.tooFull},
		{Code: "W08", Find: inflows.farApart},
		{Code: "W19", Find: inflows.staleClean},
		{Code: "D21", Find: inflows.unseenClean},
		{Code: "D22", Find: inflows.estimated},
	}
	tippedRules = table[inflows]{
		{Code: "H17", Find: inflows.inhabited},
		{Code: "H02", Find: inflows.unclean},
		{Code: "H03", Find: inflows.wrongKind},
		{Code: "H06", Find: inflows.tooFull},
		{Code: "W19", Find: inflows.staleClean},
		{Code: "D21", Find: inflows.unseenClean},
		{Code: "D22", Find: inflows.estimated},
		{Code: "W22", Find: inflows.hotFull},
	}
)

// loadTry is a load at the weighbridge, tipTry a load of which some is tipped.
type (
	loadTry struct{ load *Load }
	tipTry  struct {
		load *Load
		mass quantity.Mass
	}
	pressTipTry struct {
		tipTry
		onPress
	}
	vesselTipTry struct {
		tipTry
		inflows
	}
)

var (
	loadRules = table[*loadTry]{
		{Code: "D14", Find: (*loadTry).oddTare},
		{Code: "D15", Find: (*loadTry).otherVariety},
		{Code: "D23", Find: (*loadTry).overPlan},
		{Code: "D32", Find: (*loadTry).likeNumber},
		{Code: "W02", Find: (*loadTry).warmGrapes},
		{Code: "W03", Find: (*loadTry).rot},
	}
	bookRules = table[*loadTry]{
		{Code: "D32", Find: (*loadTry).likeNumber},
	}
	pressTipRules = table[*pressTipTry]{
		{Code: "H17", Find: (*pressTipTry).inhabited},
		{Code: "H04", Find: (*pressTipTry).overPress},
		{Code: "W01", Find: (*pressTipTry).waiting},
		{Code: "D25", Find: (*pressTipTry).crumb},
	}
	vesselTipRules = table[*vesselTipTry]{
		{Code: "H17", Find: (*vesselTipTry).inhabited},
		{Code: "H02", Find: (*vesselTipTry).unclean},
		{Code: "H03", Find: (*vesselTipTry).wrongKind},
		{Code: "W01", Find: (*vesselTipTry).waiting},
		{Code: "W19", Find: (*vesselTipTry).staleClean},
		{Code: "D25", Find: (*vesselTipTry).crumb},
		{Code: "D21", Find: (*vesselTipTry).unseenClean},
	}
)

// programmeTry is a programme that is about to start, endTry one that has ended,
// leftTry the vessels that are open still when their press is called empty.
type (
	programmeTry struct {
		onPress
		inflows
		main, fraction TankNumber
	}
	endTry struct {
		onPress
		ends *PressJuiceOut
	}
	leftTry []*Vessel
)

var (
	programmeRules = table[*programmeTry]{
		{Code: "H17", Find: (*programmeTry).inhabited},
		{Code: "H02", Find: (*programmeTry).unclean},
		{Code: "H03", Find: (*programmeTry).wrongKind},
		{Code: "H05", Find: (*programmeTry).unnamed},
		{Code: "W06", Find: (*programmeTry).pressFill},
		{Code: "W07", Find: (*programmeTry).fractionRoom},
		{Code: "W19", Find: (*programmeTry).staleClean},
		{Code: "D21", Find: (*programmeTry).unseenClean},
	}
	goRules = table[onPress]{
		{Code: "H17", Find: onPress.inhabited},
		{Code: "D33", Find: onPress.whoseLock},
	}
	endRules = table[*endTry]{
		{Code: "H17", Find: (*endTry).inhabited},
		{Code: "D33", Find: (*endTry).whoseLock},
		{Code: "D02", Find: (*endTry).oddEnd},
	}
	emptyRules = table[leftTry]{
		{Code: "D26", Find: leftTry.noJuice},
	}
)

// doseTry is a dose that is poured, or stands at the scales.
type doseTry struct {
	water quantity.Volume // to make it up
	onVessel
	product *Product
	rate    quantity.Rate
	perHL   float64
	temp    *quantity.Celsius
	testAt  time.Time
	due     time.Time // by the card's row
	hasDue  bool
	pours   bool       // it goes in now; else it only stands at the scales
	seen    TankNumber // what was read where it goes in
}

var doseRules = table[*doseTry]{
	{Code: "H17", Find: (*doseTry).inhabited},
	{Code: "H07", Find: (*doseTry).doubleDose},
	{Code: "H08", Find: (*doseTry).tooHot},
	{Code: "H09", Find: pours(Bentonite, (*decision).pectin)},
	{Code: "H13", Find: (*doseTry).notReadBack},
	{Code: "H15", Find: (*doseTry).onHold},
	{Code: "W09", Find: (*doseTry).cold},
	{Code: "W10", Find: (*doseTry).tooClose},
	{Code: "W18", Find: (*doseTry).coldYeast},
	{Code: "D09", Find: (*doseTry).offOrder},
	{Code: "D01", Find: (*doseTry).offLabel},
	{Code: "D12", Find: (*doseTry).jump},
	{Code: "D13", Find: pours(Bentonite, (*decision).stillFilling)},
	{Code: "W21", Find: (*doseTry).early},
	{Code: "D22", Find: (*doseTry).estimated},
	{Code: "W23", Find: (*doseTry).watered},
}

// stageTry is a stage into which a vessel is put.
type stageTry struct {
	onVessel
	*SetStage
}

var stageRules = table[*stageTry]{
	{Code: "H17", Find: (*stageTry).inhabited},
	{Code: "H09", Find: begins((*decision).pectin, stage.Flotation)},
	{Code: "H12", Find: (*stageTry).floatRoom},
	{Code: "H15", Find: begins((*decision).onHold, stage.Stages()...)},
	{Code: "H16", Find: (*stageTry).sharedManifold},
	{Code: "W04", Find: begins((*decision).skinsEarly, stage.DrawingOff)},
	{Code: "W05", Find: begins((*decision).skinsOver, stage.DrawingOff)},
	{Code: "W12", Find: (*stageTry).warmSettling},
	{Code: "W14", Find: (*stageTry).floatTemp},
	{Code: "W16", Find: begins((*decision).hotOver, stage.CooledBack)},
	{Code: "D04", Find: begins((*decision).tooSoon, stage.Racked)},
	{Code: "D08", Find: (*stageTry).offRoute},
	{Code: "D10", Find: (*stageTry).againstOrder},
	{Code: "D13", Find: begins((*decision).stillFilling, stage.Flotation, stage.Settling)},
	{Code: "D07", Find: (*stageTry).oddTurbidity},
}

// onVesselRule is a rule on a vessel that several attempts ask, each at its field.
type onVesselRule = func(d *decision, v *Vessel, field string) []gate.Finding

// leaves asks it of what leaves, pours of a dose of some class, begins of a vessel
// that is put into one of some stages.
func leaves(find onVesselRule) func(*moveTry, *decision) []gate.Finding {
	return func(t *moveTry, d *decision) []gate.Finding { return find(d, t.out, "from") }
}

func pours(k Class, find onVesselRule) func(*doseTry, *decision) []gate.Finding {
	return func(t *doseTry, d *decision) []gate.Finding {
		if t.product.Class != k {
			return nil
		}
		return find(d, t.of, "product")
	}
}

func begins(find onVesselRule, stages ...stage.Stage) func(*stageTry, *decision) []gate.Finding {
	return func(t *stageTry, d *decision) []gate.Finding {
		if !slices.Contains(stages, t.Stage) {
			return nil
		}
		return find(d, t.of, "stage")
	}
}

// checkTry is a clarity check that begins, verdictTry one that is read, readTry
// values read off a vessel.
type (
	checkTry struct {
		ControlTube
		recipe clarity.Recipe
		bottle *Bottle // its alcohol, nil where nobody said
	}
	verdictTry struct {
		ControlTube
		of     *Vessel
		check  *Check
		judged clarity.Judgement
		second clarity.SecondLook
	}
	readTry struct {
		Measured
		of *Vessel
	}
)

var (
	checkRules = table[*checkTry]{
		{Code: "D05", Find: (*checkTry).oldControl},
		{Code: "D06", Find: (*checkTry).weakAlcohol},
	}
	verdictRules = table[*verdictTry]{
		{Code: "H10", Find: (*verdictTry).noResult},
		{Code: "W11", Find: (*verdictTry).thirdPositive},
		{Code: "D05", Find: (*verdictTry).oldControl},
		{Code: "D27", Find: (*verdictTry).soonUnchanged},
	}
	readRules = table[*readTry]{
		{Code: "W12", Find: (*readTry).warmingSettling},
		{Code: "W17", Find: (*readTry).hotRed},
		{Code: "D03", Find: (*readTry).wildTemp},
		{Code: "D11", Find: (*readTry).oddDip},
	}
)

// The rules on people, and on figures that are corrected.
var (
	entryRules = table[*entryTry]{{Code: "H17", Find: (*entryTry).lacking}}
	leaveRules = table[*leaveTry]{{Code: "H17", Find: (*leaveTry).unwatched}}
	calmRules  = table[*emergency]{{Code: "H18", Find: (*emergency).stillBad}}
	shiftRules = table[*shiftTry]{{Code: "D30", Find: (*shiftTry).earlyShift}}
	mendRules  = table[*mendTry]{
		{Code: "D24", Find: (*mendTry).farMend},
		{Code: "D31", Find: (*mendTry).freed},
	}
)
