package cellar

import "cellar.example/mustwatch/domain/text"

// What was tried, for the head of a question that a rule asks, the answers and the near misses.
var (
	tryCheck        = text.New("try-check", "a pectin test of {tank}")
	tryCorrection   = text.New("try-correction", "a correction of {subject}")
	tryDose         = text.New("try-dose", "{product} {rate} on {tank}")
	tryEmergencyEnd = text.New("try-emergency-end", "emergency ended")
	tryEmptied      = text.New("try-emptied", "{press} is empty and rinsed")
	tryEnd          = text.New("try-end", "end of {programme} on {press}")
	tryEntry        = text.New("try-entry", "{who} into {place}")
	tryGoOn         = text.New("try-go-on", "{press} runs again")
	tryHandover     = text.New("try-handover", "the shift handed over")
	tryHandoverTo   = text.New("try-handover-to", "handed over to {who}")
	tryJuice        = text.New("try-juice", "{volume} from {press} into {tank}")
	tryLoad         = text.New("try-load", "load {load}")
	tryMove         = text.New("try-move", "move from {tank} to {to}")
	tankVolume      = text.New("tank-volume", "{tank} {volume}")
	tryOut          = text.New("try-out", "{who} out")
	tryBreak        = text.New("try-break", "{who} on break")
	tryPermit       = text.New("try-permit", "permit {number}")
	tryProgramme    = text.New("try-programme", "programme {programme} on {press}")
	tryReading      = text.New("try-reading", "reading of {tank}")
	tryRelease      = text.New("try-release", "release of {tank}")
	tryShift        = text.New("try-shift", "a new shift")
	tryShiftOf      = text.New("try-shift-of", "a shift of {lead} begins")
	tryStage        = text.New("try-stage", "{stage} on {tank}")
	tryTip          = text.New("try-tip", "load {load} into {to}")
	tryTipped       = text.New("try-tipped", "load {load} into {to}, {volume}")
	tryVerdict      = text.New("try-verdict", "reading the pectin test of {tank}")
)

var noPermitOnSuchAir = text.New("no-permit-on-such-air",
	"no permit is saved on such air ({gas}); local rules first: leave, ventilate, call whoever gave the permit")
