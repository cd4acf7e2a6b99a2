package cellar

import "cellar.example/mustwatch/domain/text"

// What a line is called where it is corrected, taken back, or named beside another one.
var (
	lineIn        = text.New("line-in", "in from {place}")
	lineDose      = text.New("line-dose", "{product}")
	lineTwin      = text.New("line-twin", "{product} ({nth})")
	lineReading   = text.New("line-reading", "reading")
	lineTubes     = text.New("line-tubes", "tubes read")
	lineDrop      = text.New("line-drop", "paper drop")
	lineCheck     = text.New("line-check", "pectin test")
	lineStage     = text.New("line-stage", "{stage}")
	lineBooking   = text.New("line-booking", "booking")
	lineCancelled = text.New("line-cancelled", "booking cancelled")
	lineLotEnd    = text.New("line-lot-end", "the lot ends")
	lineTicket    = text.New("line-ticket", "load")
	lineFill      = text.New("line-fill", "load {load}")
	lineAllIn     = text.New("line-all-in", "load {load} all in")
	lineTub       = text.New("line-tub", "container opened")
	lineCount     = text.New("line-count", "stock count")
	lineWeighed   = text.New("line-weighed", "{product} weighed")
	lineBack      = text.New("line-weighed-back", "{product} weighed back")
	lineHold      = text.New("line-hold", "hold")
	lineReleaser  = text.New("line-releaser", "{who} to release")
	lineRelease   = text.New("line-release", "release")
	lineRoute     = text.New("line-route", "route {route}")
	linePump      = text.New("line-pump", "pump started")
	lineMove      = text.New("line-move", "move to {place}")
	lineLost      = text.New("line-lost", "move to loss")
	lineBegun     = text.New("line-begun", "programme {programme} started")
	lineLocked    = text.New("line-locked", "locked out: {reason}")
	lineStopped   = text.New("line-stopped", "stopped: {reason}")
	lineGoesOn    = text.New("line-goes-on", "goes on")
	lineEnded     = text.New("line-ended", "programme ended")
	lineFreed     = text.New("line-freed", "empty and rinsed")
	lineClosed    = text.New("line-closed", "no more juice")
	lineJuice     = text.New("line-juice", "juice from {press}")
	lineNote      = text.New("line-note", "{kind}: {note}")
	lineNoteDone  = text.New("line-note-done", "done: {note}")
	lineSomeNote  = text.New("line-some-note", "note done")
	lineOrder     = text.New("line-order", "order of {from}: {order}")
	lineOrderEnd  = text.New("line-order-end", "order ended: {order}")
	lineNoOrder   = text.New("line-no-order", "order ended")
	lineAlcohol   = text.New("line-alcohol", "alcohol {id}")
	lineClock     = text.New("line-clock", "clock: {verb}")
	lineWent      = text.New("line-went", "{who} in by permit {number}")
	lineCame      = text.New("line-came", "{who} came out")
	lineShift     = text.New("line-shift", "shift of {lead}")
	lineGas       = text.New("line-gas", "gas reading")

	// beside a line that does not go together with it
	lineOut      = text.New("line-out", "{volume} to {places}")
	lineSpilt    = text.New("line-spilt", "{volume} to loss")
	lineMeasured = text.New("line-measured", "measured at {volume}")
	lineRanIn    = text.New("line-came-in", "{volume} from {place}")
	lineSavedAs  = text.New("line-saved-as", "saved as {stage}")
	linePoured   = text.New("line-poured", "{amount} of {product}")
	lineNamed    = text.New("line-named", "{line}, {time} {who}, entry {seq}")
)

func (it *Item) says() text.Say {
	switch {
	case it.In != nil:
		return lineIn.Say(it.In.From.Name)
	case it.Out != nil && it.Out.Sent != nil:
		return it.Out.Sent.As.line()
	case it.Dose != nil && it.Dose.twin > 1:
		return lineTwin.Say(it.Dose.Product, it.Dose.twin)
	case it.Dose != nil:
		return lineDose.Say(it.Dose.Product)
	case it.Reading != nil:
		return lineReading.Say()
	case it.Read != nil:
		return lineTubes.Say()
	case it.Drop != nil:
		return lineDrop.Say()
	case it.Begun != nil:
		return lineCheck.Say()
	case it.Stage != nil:
		return lineStage.Say(it.Stage.Stage)
	}
	return text.Say{}
}
