package cellar

import "cellar.example/mustwatch/domain/text"

// What clocks rest on.
var (
	onTyped       = text.New("on-typed", "typed")
	onTypedBy     = text.New("on-typed-by", "typed {who}")
	onTypedNoCard = text.New("on-typed-no-card", "typed {who}, no card")
	onTakenOver   = text.New("on-taken-over", "taken over")
	onBreak       = text.New("on-break", "break")
	onPlan        = text.New("on-plan", "planned end")
	onPumpRate    = text.New("on-pump-rate", "pump rate")
	onLineRate    = text.New("on-line-rate", "line rate")
	onPermit      = text.New("on-permit", "permit {number}")
	onProgramme   = text.New("on-programme", "{programme}")
	onRecipe      = text.New("on-recipe", "{recipe}")
	onWeighed     = text.New("on-weighed", "weighed {time}, {amount}")
	onStage       = text.New("on-stage", "{stage}")
	onLeast       = text.New("on-least", "least {stage}")
	onLongest     = text.New("on-longest", "longest {stage}")
	onHaze        = text.New("on-haze", "faint haze: the next look decides")
	onSeen        = text.New("on-seen", "house wait after {seen}, {wait}")
	onVerdict     = text.New("on-verdict", "test again: {verdict}")
	onChanged     = text.New("on-changed", "test again: it changed since the sample")
	onMovedAlong  = text.New("on-moved-along", "moved while a test ran")
	onPositives   = text.New("on-positives", "{nth} positive in a row")
	onReadings    = text.New("on-readings", "forecast, {count} readings")
	onJacket      = text.New("on-jacket", "forecast, by its jacket")
	onPower       = text.New("on-power", "forecast, at {power:%.0f} kW")
)

// What ended a clock.
var (
	endDone       = text.New("end-done", "done")
	endDoneBy     = text.New("end-done-by", "done by {who}")
	endPoured     = text.New("end-poured", "poured")
	endWeighed    = text.New("end-weighed-back", "weighed back")
	endMoved      = text.New("end-moved", "moved")
	endPermit     = text.New("end-permit", "permit ended")
	endTakenOff   = text.New("end-taken-off", "taken off: {reason}")
	endPressStops = text.New("end-press-stops", "taken off: press stopped: {reason}")
	endTested     = text.New("end-tested", "tested")
	endRead       = text.New("end-read", "read")
	endDosed      = text.New("end-dosed", "dosed again")
	endStage      = text.New("end-stage", "{stage}")
	endFull       = text.New("end-full", "full")
	endStarted    = text.New("end-started", "started")
	endEnded      = text.New("end-ended", "ended")
	endFree       = text.New("end-free", "free")
	endMet        = text.New("end-met", "met")
	endJuiceRan   = text.New("end-juice-ran", "taken off: juice ran in after the dose")
	endTakenBack  = text.New("end-taken-back", "taken off: what it stood on was taken back")
	endCorrected  = text.New("end-corrected", "taken off: what it stood on was corrected")
	endVerdict    = text.New("end-verdict", "{verdict}")
	endLeft       = text.New("end-left", "left")
	endBack       = text.New("end-back", "back")
	endNewShift   = text.New("end-new-shift", "a new shift")
	endHandedOver = text.New("end-handed-over", "handed over")
	endCalledBack = text.New("end-called-back", "cancelled: {reason}")
)

// orDone is what somebody said of a thing that is done, or that it is.
func orDone(typed string) text.Say {
	if typed == "" {
		return endDone.Say()
	}
	return text.Words(typed)
}

// Verbs of clocks that something else asks for by name. A clock that people set has the verb that they type, and these
// are words that they type.
const (
	VerbTest = "test"
	VerbRead = "read"
)

// verbWords are the verbs of clocks that are more than the word they are kept by.
var verbWords = map[string]string{
	"second-look": "check haze", "empty": "empty it", "close": "full",
	"decide-route": "settle or float?", "end-run": "end run", "cool-down": "cool down",
	"hand-over": "hand over",
	"all-out":   "all out", "be-at": "be at", CannotTell: "no test time at this temperature: warm it or ask",
}

// VerbWords puts the verb of a clock into words, with what it is done to.
func VerbWords(code, object string) string {
	words, known := verbWords[code]
	if !known {
		words = code
	}
	if object != "" {
		words += " " + object
	}
	return words
}
