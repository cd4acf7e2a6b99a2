package cellar

// never are the kinds of fact that are never taken back, each with what to do instead.
// TestEveryKindIsTakenBackOrSaysWhy holds that a kind is decided here or can be taken back.
var never = map[string]string{
	"house-set":          "change the house itself: all that was saved since counts on it",
	"vessel-added":       "leave the tank or set it out of use: what was saved of it needs it",
	"vessel-changed":     "save the vessel again with what is right: the latest setup counts",
	"press-added":        "leave the press: what was saved of it needs it",
	"product-booked":     "save its card or its stock again (u): doses count on the lot",
	"card-set":           "save the card again as the label says (u); the latest one counts",
	"rehearsal-begun":    "start another rehearsal: this journal is one from its first entry",
	"clock-anchored":     "confirm the time: the machine noted its clocks",
	"clock-stepped":      "confirm the time: the machine noted its clocks",
	"machine-slept":      "save a note: the machine noted that it slept",
	"time-confirmed":     "confirm the time again: all since then goes by it",
	"saved-together":     "take the lines of the batch back one by one, or in another batch",
	"corrected":          "correct the entry again; save again what was taken back by mistake",
	"same-entry":         "take the entry back that was saved twice",
	"rule-answered":      "save a note: what was answered to a check stays",
	"stopped":            "save a note: what was stopped stays",
	"sheet-printed":      "print another sheet: people have this one in their hands",
	"clock-moved":        "give the clock its time again: it may have rung by this one",
	"clock-answered":     "take back the entry that answered it, or set the clock again",
	"clock-cancelled":    "set the clock again: nobody was called meanwhile",
	"clock-acknowledged": "snooze it or do what it asks: somebody was at the board",
	"clock-snoozed":      "acknowledge it: it comes back by itself",
	"came-in":            "save that they left (z o): a head count goes by the list",
	"handed-on":          "hand it on again, or back (z t): somebody may have begun with it",
	"went-out":           "save that they are in (z i): a head count goes by the list",
	"break-begun":        "save that they are back (z k): a head count goes by the list",
	"break-ended":        "save the break again (z b): a head count goes by the list",
	"heads-counted":      "count heads again (z h): somebody may be missing by this one",
	"emergency-ended":    "raise the emergency again: others were told that it was over",
	"gas-details-given":  "read the air again and name the place",
	"permit-written":     "end the permit: it is on paper, and somebody may act on it",
	"permit-ended":       "get a new permit on paper and save that: an ended one lets nobody in",
	"attendant-named":    "name another attendant: this one counts from that line on",
	"season-closed":      "save it in the new season: this one is closed",
	"season-begun":       "leave it: the journal goes on from the season before",
	"shift-ended":        "start the shift again: the cellar was handed over",
}

// neverTaken refuses to take back or to correct an entry that stays.
func neverTaken(of Seq, kind string) error {
	instead, stays := never[kind]
	if !stays {
		return reject("of", "of", "there is no entry {of} to correct", of)
	}
	return reject("stays", "of", "{instead}. Entry {of} is not taken back", instead, of)
}
