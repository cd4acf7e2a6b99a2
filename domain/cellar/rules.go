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
}

type inflowTry struct {
	vessel  *Vessel
	volume  quantity.Volume
	kind    Substance
	from    string
	loads   []LoadID // what it is of
	field   string
	running bool // it has run in already; only the amount is still open
	lees    bool
}

type doseTry struct {
	product *Product
	active  quantity.Amount
	perHL   float64
	temp    *quantity.Celsius
	testAt  time.Time
	due     time.Time // by the card's row
	hasDue  bool
}

type checkTry struct {
	check   *Check
	verdict clarity.Verdict
}

// rules is the one table of what stands in the way. A rule is added here: its
// code, what it guards, and what it finds. Limits are the house's, see Limits;
// those without a source beside them are common practice, no source.
var rules = gate.Table[*trying]{
	{Code: "H02", Title: "clean destination", Find: findUnclean},
	{Code: "H05", Title: "juice tanks named before the press starts", Find: findUnnamed},
	{Code: "H06", Title: "working limit of a vessel", Find: findTooFull},
	{Code: "H07", Title: "double dose, dose maximum", Find: findDoubleDose},
	{Code: "H09", Title: "pectin gone before flotation or bentonite", Find: findPectin},
	{Code: "H10", Title: "a test result that is none", Find: findNoResult},
	{Code: "H11", Title: "racking onto another lot or a barred vessel", Find: findOtherLot},
	{Code: "H15", Title: "hold", Find: findHeld},
	{Code: "W09", Title: "too cold for the card", Find: findCold},
	{Code: "W10", Title: "enzyme apart from SO2 and bentonite", Find: findTooClose},
	{Code: "W21", Title: "looking earlier than the card says", Find: findEarly},
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
