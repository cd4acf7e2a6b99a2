package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// trying is what a decision lays before the rules: only the parts that matter
// to what is being tried are set.
type trying struct {
	d        *decision
	out      *Vessel     // content leaves this vessel
	into     []inflowTry // content comes into these
	racking  bool        // the content is racked, from vessel to vessel
	blend    bool        // "blend" was said
	dose     *doseTry
	stage    Stage
	of       *Vessel // the vessel whose stage, dose or check it is
	check    *checkTry
	press    *Press
	main     Plate
	fraction Plate
	load     *Load         // a load at the weighbridge or at the tip
	tipped   bool          // it is being tipped
	tips     quantity.Mass // what of it
	starts   bool          // the press starts its programme
	ends     *PressJuiceOut
	left     []*Vessel     // open still, when their press is called empty
	pressed  quantity.Mass // what a press would hold
	move     *Move
	content  *Content          // what leaves
	temp     *quantity.Celsius // just read
	dip      *quantity.Volume  // just read
	bar      float64           // gas pressure typed for a flotation
	blanked  bool              // the bend is off, the manifold blanked
	entry    *entryTry         // somebody goes into a vessel
	leave    *leaveTry         // somebody who may be watching one goes
	shift    *shiftTry         // the cellar goes to somebody else
	stillBad *emergency        // is about to be ended
	mend     *mendTry          // a figure that is put right
}

type inflowTry struct {
	vessel  *Vessel
	volume  quantity.Volume
	kind    Substance
	from    string
	loads   []LoadID // what it is of
	variety string   // of which grapes, "" where it is not one
	field   string
	running bool // it has run in already; only the amount is still open
	lees    bool
	seen    Plate // what was read at the valve
	temp    *quantity.Celsius
	doubt   quantity.Volume // what an estimated volume may be out by
}

type doseTry struct {
	product *Product
	active  quantity.Amount
	rate    quantity.Rate
	perHL   float64
	temp    *quantity.Celsius
	testAt  time.Time
	due     time.Time // by the card's row
	hasDue  bool
	pours   bool  // it goes in now; else it only stands at the scales
	seen    Plate // what was read where it goes in
}

type checkTry struct {
	check   *Check
	verdict clarity.Verdict
	control ControlTube
	second  clarity.SecondLook
	bottle  *Bottle // the alcohol of a check that begins
}

// rules is the one table of what stands in the way. A rule is added here: its
// code, what it guards, and what it finds. Limits are the house's, see Limits;
// those without a source beside them are common practice, no source.
var rules = gate.Table[*trying]{
	{Code: "H17", Title: "somebody is in it", Find: findInhabited},
	{Code: "H02", Title: "clean destination", Find: findUnclean},
	{Code: "H03", Title: "what may go where", Find: findWrongKind},
	{Code: "H04", Title: "press load over the press's rating", Find: findOverPress},
	{Code: "H05", Title: "juice tanks named before the press starts", Find: findUnnamed},
	{Code: "H06", Title: "working limit of a vessel", Find: findTooFull},
	{Code: "H07", Title: "double dose, dose maximum", Find: findDoubleDose},
	{Code: "H08", Title: "enzyme into too hot must", Find: findTooHot},
	{Code: "H09", Title: "pectin gone before flotation or bentonite", Find: findPectin},
	{Code: "H10", Title: "a test result that is none", Find: findNoResult},
	{Code: "H11", Title: "racking onto another lot or a barred vessel", Find: findOtherLot},
	{Code: "H12", Title: "room and pressure for a flotation", Find: findFloatRoom},
	{Code: "H13", Title: "plate read back at the valve", Find: findNotReadBack},
	{Code: "H14", Title: "must too hot for the press", Find: findHotPress},
	{Code: "H15", Title: "hold", Find: findHeld},
	{Code: "H16", Title: "cleaning on a manifold with a full vessel", Find: findSharedManifold},
	{Code: "H17", Title: "a person in a vessel", Find: findEntry},
	{Code: "H17", Title: "an attendant who leaves", Find: findUnwatched},
	{Code: "H18", Title: "an emergency ended over bad air", Find: findStillBad},
	{Code: "W01", Title: "load waiting long", Find: findWaiting},
	{Code: "D14", Title: "a trailer's tare far from its last", Find: findOddTare},
	{Code: "D15", Title: "another variety than booked", Find: findOtherVariety},
	{Code: "D23", Title: "more than booked", Find: findOverPlan},
	{Code: "W02", Title: "warm white grapes", Find: findWarmGrapes},
	{Code: "W03", Title: "rot", Find: findRot},
	{Code: "W04", Title: "skin contact below its minimum", Find: findSkinsEarly},
	{Code: "W05", Title: "skin contact over its maximum", Find: findSkinsOver},
	{Code: "W06", Title: "press badly filled", Find: findPressFill},
	{Code: "W07", Title: "no room for the press fraction", Find: findFractionRoom},
	{Code: "W08", Title: "juice of loads far apart", Find: findFarApart},
	{Code: "W09", Title: "too cold for the card", Find: findCold},
	{Code: "W10", Title: "enzyme apart from SO2 and bentonite", Find: findTooClose},
	{Code: "W11", Title: "third positive in a row, or long after the first dose", Find: findThirdPositive},
	{Code: "W12", Title: "too warm to settle", Find: findWarmSettling},
	{Code: "W12", Title: "warming while it settles", Find: findWarmingSettling},
	{Code: "W13", Title: "lees of a racking", Find: findOddLees},
	{Code: "W14", Title: "temperature of a flotation", Find: findFloatTemp},
	{Code: "W15", Title: "balance of a move", Find: findImbalance},
	{Code: "W16", Title: "held hot over its maximum", Find: findHotOver},
	{Code: "W17", Title: "red must too hot, or soon", Find: findHotRed},
	{Code: "W18", Title: "cold inoculation", Find: findColdYeast},
	{Code: "W19", Title: "cleaned long ago", Find: findStaleClean},
	{Code: "D02", Title: "programme ended early or without a volume", Find: findOddEnd},
	{Code: "D03", Title: "temperature far from the last one", Find: findWildTemp},
	{Code: "D04", Title: "racked before its time", Find: findTooSoon},
	{Code: "D08", Title: "cleared another way than the route says", Find: findOffRoute},
	{Code: "D10", Title: "cleared against an order", Find: findAgainstOrder},
	{Code: "D11", Title: "dip far from the ledger", Find: findOddDip},
	{Code: "D09", Title: "dose at another rate than ordered", Find: findOffOrder},
	{Code: "D01", Title: "dose outside the range of the label", Find: findOffLabel},
	{Code: "D12", Title: "dose far from the last one, or in another unit than the label's", Find: findJump},
	{Code: "D13", Title: "cleared while juice still runs in", Find: findStillFilling},
	{Code: "D05", Title: "control drawn long ago or opened often", Find: findOldControl},
	{Code: "D06", Title: "weak or old alcohol", Find: findWeakAlcohol},
	{Code: "D27", Title: "a haze called unchanged too soon", Find: findSoonUnchanged},
	{Code: "D07", Title: "turbidity of a racking", Find: findOddTurbidity},
	{Code: "D20", Title: "moved before it is ready", Find: findUnready},
	{Code: "D25", Title: "a very small share of a load", Find: findCrumb},
	{Code: "D24", Title: "a correction far from the old figure", Find: findFarMend},
	{Code: "D30", Title: "handed over long before the shift ends", Find: findEarlyShift},
	{Code: "D31", Title: "a correction that opens a gate", Find: findFreed},
	{Code: "D26", Title: "a press called empty that gave no juice", Find: findNoJuice},
	{Code: "W21", Title: "looking earlier than the card says", Find: findEarly},
	{Code: "D21", Title: "not all of the cleaning seen to", Find: findUnseenClean},
	{Code: "D22", Title: "a volume only estimated", Find: findEstimated},
	{Code: "W22", Title: "hot vessel nearly full", Find: findHotFull},
}

// Rules lists the rules with their titles, in the order they are asked.
func Rules() []struct {
	Code  gate.Code
	Title string
} {
	var out []struct {
		Code  gate.Code
		Title string
	}
	for _, r := range rules {
		out = append(out, struct {
			Code  gate.Code
			Title string
		}{r.Code, r.Title})
	}
	return out
}
