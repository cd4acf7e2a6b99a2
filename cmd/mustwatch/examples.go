package main

import (
	"fmt"
	"strings"
)

// example is one line of the format, with what it is for. A line that is only
// there to make a later one possible is not shown.
type example struct {
	says  string
	line  string
	quiet bool
}

// group is a group of examples.
type group struct {
	name     string
	examples []example
}

// subjects are the lines shown by enter --help. A test plays them all, in this
// order, into an empty cellar, and asks that no command is left out: so they
// stay true.
var subjects = []group{
	{"The house and its vessels", []example{
		{says: "a rehearsal; first line only, demo adds it",
			line: `{"do":"rehearse","at":"2026-10-02T18:00:00+02:00","title":"a night to practise"}`},
		{says: "settings and people; a later line changes what and whom it names, and \"left\":true takes somebody " +
			"off the list and \"to\" gets what waits for them", line: `{"do":"house","at":"2026-10-02T18:00:00+02:00","by":"AL","name":"Example Cellar",` +
			`"zone":"Europe/Vienna","units":"metric","recipe":"1:2","people":[{"initials":"AL","name":"A. Lind",` +
			`"roles":["lead"]},{"initials":"BT","name":"B. Tarn","roles":["tank"]},{"initials":"CW",` +
			`"name":"C. Wold","roles":["winemaker"]}]}`},
		{says: "a vessel", line: `{"do":"vessel","at":"2026-10-02T18:00:00+02:00","by":"AL","vessel":"S1",` +
			`"brim":"120 hL","use":"settle"}`},
		{line: `{"do":"vessel","at":"2026-10-02T18:00:00+02:00","by":"AL","vessel":"S2","brim":"120 hL","use":"settle"}`, quiet: true},
		{line: `{"do":"vessel","at":"2026-10-02T18:00:00+02:00","by":"AL","vessel":"F1","brim":"100 hL",` +
			`"use":"ferment"}`, quiet: true},
		{line: `{"do":"vessel","at":"2026-10-02T18:00:00+02:00","by":"AL","vessel":"B1","brim":"30 hL",` +
			`"use":"pressings"}`, quiet: true},
		{line: `{"do":"vessel","at":"2026-10-02T18:00:00+02:00","by":"AL","vessel":"L1","brim":"20 hL","use":"lees"}`,
			quiet: true},
		{says: "a press", line: `{"do":"press","at":"2026-10-02T18:00:00+02:00","by":"AL","press":"PA",` +
			`"rated":"8 t","whole_bunch":"5 t","empty":"35m","programmes":[{"name":"soft","minutes":"150"}]}`},
		{says: "a product lot, with the card on its label and its stock",
			line: `{"do":"product","at":"2026-10-02T18:00:00+02:00","by":"AL","product":"EZ-1",` +
				`"name":"clearing enzyme","class":"enzyme-clarify","unit":"g/hL","card":{"rows":[{"from":"15 °C",` +
				`"to":"20 °C","wait":"2h"},{"from":"12 °C","to":"15 °C","wait":"3h"},{"from":"10 °C","to":"12 °C",` +
				`"wait":"4h"}],"floor":"10 °C","ceiling":"45 °C","low":"1 g/hL","high":"3 g/hL","max":"5 g/hL",` +
				`"make_up":10},"expiry":"2027-06","open":"400 g","sealed":2,"size":"500 g"}`},
		{says: "the cellar as it stands when the board is first used, once",
			line: `{"do":"opening","at":"2026-10-02T18:00:00+02:00","by":"AL","vessels":[{"vessel":"S1",` +
				`"volume":"80 hL","variety":"Riesling","kind":"juice","stage":"waiting","temp":"14.2 °C"},` +
				`{"vessel":"S2","stage":"empty clean"},{"vessel":"F1","stage":"empty clean"},{"vessel":"B1",` +
				`"stage":"empty clean"},{"vessel":"L1","stage":"empty clean"}],"clocks":[{"subject":"chiller",` +
				`"kind":"call back","verb":"call","due":"2026-10-02T21:00:00+02:00"}]}`},
	}},
	{"The shift", []example{
		{says: "a shift begins", line: `{"do":"shift-start","at":"2026-10-02T18:05:00+02:00","by":"AL","lead":"AL",` +
			`"crew":["BT"],"ends":"2026-10-03T06:00:00+02:00"}`},
	}},
	{"Grapes and presses", []example{
		{says: "a load is expected", line: `{"do":"book","at":"2026-10-02T18:10:00+02:00","by":"AL","load":"31",` +
			`"variety":"Silvaner","booked":"2026-10-02T19:00:00+02:00"}`},
		{line: `{"do":"book","at":"2026-10-02T18:10:00+02:00","by":"AL","load":"32","booked":"2026-10-02T22:00:00+02:00"}`,
			quiet: true},
		{says: "it does not come; its number can be booked again",
			line: `{"do":"book-cancel","at":"2026-10-02T18:12:00+02:00","by":"AL","load":"32","reason":"rain"}`},
		{says: "a load is weighed", line: `{"do":"load","at":"2026-10-02T18:55:00+02:00","by":"BT","load":"31",` +
			`"gross":"9300 kg","tare":"4100 kg","brix":19.8,"ph":3.21,"temp":"16 °C"}`},
		{says: "it runs into a press or a vessel", line: `{"do":"tip","at":"2026-10-02T19:05:00+02:00","by":"BT",` +
			`"load":"31","to":"PA","until":"2026-10-02T19:35:00+02:00"}`},
		{says: "it is all in",
			line: `{"do":"tipped","at":"2026-10-02T19:33:00+02:00","by":"BT","load":"31","to":"PA"}`},
		{says: "a programme begins; where the juice goes is said first",
			line: `{"do":"press-start","at":"2026-10-02T19:36:00+02:00","by":"BT","press":"PA","programme":"soft",` +
				`"free_run":"S2","pressings":"B1"}`},
		{says: "a press stands", line: `{"do":"press-stop","at":"2026-10-02T20:10:00+02:00","by":"BT","press":"PA",` +
			`"reason":"door sensor"}`},
		{says: "and goes on", line: `{"do":"press-resume","at":"2026-10-02T20:25:00+02:00","by":"BT","press":"PA"}`},
		{says: "juice ran in; or say what the vessel reads: \"reads\"",
			line: `{"do":"juice","at":"2026-10-02T21:30:00+02:00","by":"BT","press":"PA","volume":"29.5 hL"}`},
		{line: `{"do":"juice","at":"2026-10-02T22:20:00+02:00","by":"BT","press":"PA","share":"pressings",` +
			`"volume":"6.2 hL","end":true}`, quiet: true},
		{says: "a press is empty and rinsed; the tank it ran into is closed, \"more\" leaves it open",
			line: `{"do":"press-free","at":"2026-10-02T22:55:00+02:00","by":"BT","press":"PA","more":true}`},
		{says: "no more juice follows into a vessel; or say it with the last of it: \"closed\"",
			line: `{"do":"juice-close","at":"2026-10-02T22:58:00+02:00","by":"BT","vessel":"S2"}`},
	}},
	{"Doses, readings, clarity checks, stages", []example{
		{says: "one product into one vessel", line: `{"do":"dose","at":"2026-10-02T23:00:00+02:00","by":"BT",` +
			`"vessel":"S1","product":"EZ-1","rate":"2 g/hL","temp":"14 °C"}`},
		{says: "a dose is weighed and not poured yet; pouring it (\"dose\") ends that",
			line: `{"do":"weighed","at":"2026-10-02T23:20:00+02:00","by":"BT","vessel":"S2","product":"EZ-1",` +
				`"rate":"1.5 g/hL","temp":"14 °C"}`},
		{says: "or it goes back into its container", line: `{"do":"weighed-back","at":"2026-10-02T23:30:00+02:00",` +
			`"by":"BT","vessel":"S2","product":"EZ-1","reason":"tank still runs in"}`},
		{says: "what was read: temp, density, brix, ntu, ph, dip, words",
			line: `{"do":"reading","at":"2026-10-02T23:40:00+02:00","by":"BT","vessel":"S1","temp":"13.8 °C"}`},
		{says: "a bottle of alcohol for the pectin tests is opened; \"abv\" in % vol",
			line: `{"do":"bottle","at":"2026-10-03T01:55:00+02:00","by":"BT","bottle":"A-2","abv":96,` +
				`"name":"acidified"}`},
		{says: "a pectin test is started: the alcohol is in; its control can say more",
			line: `{"do":"pectin-test","at":"2026-10-03T02:00:00+02:00","by":"BT","vessel":"S1",` +
				`"source":"juice of S2, no enzyme","taken_at":"2026-10-02T22:00:00+02:00","openings":1,` +
				`"from":"racking valve","filtered":true}`},
		{says: "what the tubes show; the verdict is calculated",
			line: `{"do":"pectin-test-read","at":"2026-10-03T02:06:00+02:00","by":"BT","vessel":"S1","tube":"S1",` +
				`"sample":"clear","control":"flocs"}`},
		{says: "a filter paper drop: a drop, b fining trial, c timed run; it supports a decision, it allows nothing",
			line: `{"do":"paper-drop","at":"2026-10-03T02:08:00+02:00","by":"BT","vessel":"S1","method":"c",` +
				`"ring":"wide ring","seconds":90,"treated":"62 mL","untreated":"50 mL",` +
				`"untreated_ring":"narrow ring","colour":"paler"}`},
		{says: "a vessel comes to another stage", line: `{"do":"stage","at":"2026-10-03T02:20:00+02:00","by":"BT",` +
			`"vessel":"S1","stage":"settling","for":"2h"}`},
		{says: "how a juice is to be cleared: settle or float",
			line: `{"do":"route","at":"2026-10-03T02:22:00+02:00","by":"AL","vessel":"S2","route":"float"}`},
		{says: "what the winemaker or the lead has ordered; doing it ticks it off",
			line: `{"do":"order","at":"2026-10-03T02:23:00+02:00","by":"BT","act":"float","vessel":"S2","from":"CW",` +
				`"text":"when a slot is free"}`},
		{says: "or it is ended by hand; \"off\":true calls it back",
			line: `{"do":"order-end","at":"2026-10-03T02:24:00+02:00","by":"BT","vessel":"S2","off":true,` +
				`"reason":"by phone: settle it"}`},
		{says: "a container is opened, or counted: \"count\"",
			line: `{"do":"tub","at":"2026-10-03T02:25:00+02:00","by":"BT","product":"EZ-1"}`},
		{line: `{"do":"product","at":"2026-10-03T02:26:00+02:00","by":"AL","product":"BN-1","name":"bentonite",` +
			`"class":"bentonite","unit":"g/hL","open":"5 kg"}`, quiet: true},
		{says: "a lot is no longer in the house: used up, expired, handed back; counting zero ends it too",
			line: `{"do":"lot-end","at":"2026-10-03T02:27:00+02:00","by":"BT","product":"BN-1","reason":"handed back"}`},
	}},
	{"Moves and holds", []example{
		{says: "a vessel must not move until a named person says so",
			line: `{"do":"hold","at":"2026-10-03T02:30:00+02:00","by":"AL","vessel":"F1","reason":"valve drips",` +
				`"releaser":"CW"}`},
		{says: "that person says so", line: `{"do":"release","at":"2026-10-03T04:10:00+02:00","by":"CW",` +
			`"vessel":"F1","reason":"seal changed"}`},
		{says: "a pump is about to run; checks run first",
			line: `{"do":"move-start","at":"2026-10-03T04:25:00+02:00","by":"BT","from":"S1","to":[{"vessel":"F1",` +
				`"volume":"78 hL"}],"lees":{"vessel":"L1","volume":"1.8 hL"},"rate":"80 hL"}`},
		{says: "what moved; the rest is lees, loss, or stays (\"part\":true); \"how\": dip, meter, estimate",
			line: `{"do":"move","at":"2026-10-03T05:25:00+02:00","by":"BT","from":"S1","to":[{"vessel":"F1",` +
				`"volume":"78 hL"}],"lees":{"vessel":"L1","volume":"1.8 hL"},"loss":"0.2 hL"}`},
		{says: "what leaves the house: bottled, tanker, sold, distilled, or lees; it is no loss",
			line: `{"do":"move","at":"2026-10-03T05:25:20+02:00","by":"BT","from":"L1","out":{"as":"lees",` +
				`"volume":"1.8 hL","to":"for distilling"}}`},
		{says: "a known vessel is changed: what a line names, the rest stays; an empty one with " +
			"\"retired\":true is none " +
			"of the house's any more, and set up again it is",
			line: `{"do":"vessel","at":"2026-10-03T05:25:30+02:00","by":"AL","vessel":"L1","row":"by the door"}`},
		{says: "a vessel is clean; the steps done: rinsed, drained, sanitised, looked into (from outside)",
			line: `{"do":"stage","at":"2026-10-03T05:25:40+02:00","by":"BT","vessel":"S1","stage":"empty clean",` +
				`"steps":["rinsed","drained","looked into"]}`},
	}},
	{"Clocks and notes", []example{
		{says: "a clock; \"due\" an instant, or \"in\" a length",
			line: `{"do":"clock","at":"2026-10-03T05:26:00+02:00","by":"BT","subject":"S1","verb":"rinse","in":"20m"}`},
		{says: "it gets another due; \"done\":true ends it, \"off\":true takes it away",
			line: `{"do":"clock-move","at":"2026-10-03T05:30:00+02:00","by":"BT","subject":"S1","verb":"rinse",` +
				`"due":"2026-10-03T05:40:00+02:00","reason":"the hose is free"}`},
		{says: "somebody acknowledges that it is due",
			line: `{"do":"acknowledge","at":"2026-10-03T05:41:00+02:00","by":"AL","subject":"S1","verb":"rinse"}`},
		{says: "it is snoozed, for half an hour at most and three times; it comes back by itself",
			line: `{"do":"snooze","at":"2026-10-03T05:41:30+02:00","by":"AL","subject":"S1","verb":"rinse",` +
				`"in":"10m","reason":"the hose is in use"}`},
		{line: `{"do":"clock","at":"2026-10-03T05:41:40+02:00","by":"BT","subject":"S1","verb":"rinse",` +
			`"due":"2026-10-03T06:30:00+02:00"}`, quiet: true},
		{says: "several of one name: \"was\" is the due that it has, or \"of\" the line that it rests on, by " +
			"number or id; so too in acknowledge, snooze and note-done",
			line: `{"do":"clock-move","at":"2026-10-03T05:41:50+02:00","by":"BT","subject":"S1","verb":"rinse",` +
				`"was":"2026-10-03T06:30:00+02:00","off":true,"reason":"once is enough"}`},
		{says: "a note: info, promise, question, warning, incident or safety",
			line: `{"do":"note","at":"2026-10-03T05:42:00+02:00","by":"AL","subject":"PA",` +
				`"text":"door sensor to be looked at","what":"promise","for":"CW","until":"2026-10-03T10:00:00+02:00"}`},
		{says: "an open note of a subject is done; of several \"what\" or \"of\" says which",
			line: `{"do":"note-done","at":"2026-10-03T05:50:00+02:00","by":"CW","subject":"PA"}`},
		{says: "what time it is by somebody's word, when the machine's clock is off",
			line: `{"do":"time","at":"2026-10-03T05:50:00+02:00","by":"AL","now":"2026-10-03T05:50:00+02:00"}`},
		{says: "a board notes by itself that the machine's clock was set",
			line: `{"do":"clock-step","at":"2026-10-03T05:50:00+02:00","from":"2026-10-03T05:50:00+02:00",` +
				`"to":"2026-10-03T06:50:00+02:00"}`},
		{says: "that the machine slept", line: `{"do":"machine-sleep","at":"2026-10-03T05:50:00+02:00",` +
			`"from":"2026-10-03T05:43:00+02:00","until":"2026-10-03T05:49:00+02:00"}`},
		{says: "and, at each start, which time went with the machine's own count",
			line: `{"do":"clock-anchor","at":"2026-10-03T05:50:00+02:00","house":"2026-10-03T05:50:00+02:00",` +
				`"wall":"2026-10-03T05:50:00+02:00","boot_id":"1","boot_ns":60000000000}`},
	}},
	{"The crew, gas and permits", []example{
		{says: "somebody is on site; the shift's list is so from its start",
			line: `{"do":"in","at":"2026-10-03T05:50:00+02:00","by":"CW"}`},
		{says: "a break, with the clock for the return; \"for\" or \"until\"",
			line: `{"do":"break","at":"2026-10-03T05:50:00+02:00","by":"BT","for":"20m"}`},
		{says: "back from it", line: `{"do":"back","at":"2026-10-03T05:50:30+02:00","by":"BT"}`},
		{says: "who was counted; the board says who is missing",
			line: `{"do":"head-count","at":"2026-10-03T05:50:40+02:00","by":"AL","counted":["AL","BT","CW"],"others":1}`},
		{says: "what a gas meter showed, ppm and %: a note, never a permission",
			line: `{"do":"gas","at":"2026-10-03T05:50:50+02:00","by":"BT","place":"S1","co2":900,"o2":20.8,` +
				`"meter":"G2"}`},
		{says: "a bad one needs its two numbers only, and is an emergency until a person ends it",
			line: `{"do":"gas","at":"2026-10-03T05:50:51+02:00","by":"BT","co2":16000}`},
		{says: "where it was and with which meter, told afterwards",
			line: `{"do":"gas-details","at":"2026-10-03T05:50:53+02:00","by":"BT","place":"pump pit","meter":"G2"}`},
		{says: "a person ends the emergency by name; while the air is bad the lead says why",
			line: `{"do":"end-emergency","at":"2026-10-03T05:50:55+02:00","by":"BT","of":"pump pit","who":"AL",` +
				`"how":"barrier up, fans on","answers":[{"rule":"H18","of":"pump pit","by":"AL",` +
				`"reason":"meter broke, pit locked"}]}`},
		{says: "a permit on paper, given by somebody with the right to",
			line: `{"do":"permit","at":"2026-10-03T05:51:00+02:00","by":"AL","number":"17","place":"S1",` +
				`"given_by":"site safety","holder":"BT","attendant":"CW","until":"2026-10-03T05:59:00+02:00"}`},
		{says: "somebody goes in, as the paper permit says",
			line: `{"do":"enter-vessel","at":"2026-10-03T05:51:10+02:00","by":"BT","place":"S1","permit":"17"}`},
		{says: "another attendant, on site and outside; nobody is in without one",
			line: `{"do":"attendant","at":"2026-10-03T05:51:15+02:00","by":"AL","number":"17","attendant":"AL"}`},
		{says: "and comes out", line: `{"do":"leave-vessel","at":"2026-10-03T05:51:20+02:00","by":"CW","who":"BT"}`},
		{says: "the permit is handed back", line: `{"do":"permit-end","at":"2026-10-03T05:51:30+02:00","by":"AL",` +
			`"number":"17"}`},
		{says: "what waits for somebody goes to others: holds to release, promises, orders, clocks; \"each\" names " +
			"one, such as [{\"of\":\"hold S1\",\"to\":\"AL\"}]",
			line: `{"do":"hand-on","at":"2026-10-03T05:51:35+02:00","by":"AL","who":"BT","to":"AL","reason":"BT is off tomorrow"}`},
		{says: "somebody left the site", line: `{"do":"out","at":"2026-10-03T05:51:40+02:00","by":"CW"}`},
	}},
	{"Correcting and handing over", []example{
		{says: "correct one value of an earlier entry, by its seq; the old one stays beside it",
			line: `{"do":"correct","at":"2026-10-03T05:52:00+02:00","by":"AL","of":23,"field":"volume",` +
				`"value":"29 hL","reason":"read off the wrong gauge"}`},
		{says: "an entry is taken back, whatever it said: a tip, a ticket, a hold, a note; where one stays, the " +
			"refusal says what to do instead", line: `{"do":"correct","at":"2026-10-03T05:52:30+02:00","by":"AL",` +
			`"of":44,"take_back":true,"reason":"it was another lot"}`},
		{says: "several lines as one, saved all or none; each line knows those before it",
			line: `{"do":"together","at":"2026-10-03T05:53:00+02:00","by":"AL","lines":[{"do":"correct","of":23,` +
				`"field":"volume","value":"28 hL","reason":"read again"},{"do":"reading","vessel":"S1",` +
				`"temp":"14.1 °C"}]}`},
		{says: "the sheet was printed for somebody: what changes of it after that is told on the next",
			line: `{"do":"sheet","at":"2026-10-03T05:59:00+02:00","by":"AL"}`},
		{says: "the shift is handed over; \"told\" are the open alarms and emergencies that the next lead " +
			"knows of, \"out\" who leaves the site",
			line: `{"do":"shift-end","at":"2026-10-03T06:00:00+02:00","by":"AL","to":"CW","told":["chiller call",` +
				`"S1 rinse"],"out":["BT"]}`},
	}},
}

// entryHelp is the text of enter --help.
func entryHelp() string {
	var b strings.Builder
	b.WriteString(`Saves entries to the journal, one for each line of a file or a pipe. Each line is
checked by itself and is on the disk before the next is read; a line that is
refused is named with its number, its id and the reason, and the rest goes on.

A line is a JSON object: "do" says what it saves, the other names say what it
needs. Blank lines and lines that begin with # are skipped. Every line takes

  "id"        a name of your own for the line, up to 100 characters; it is kept with the entry
  "by"        initials of who says so
  "at"        when it happened, with its offset; blank = now
  "before", "after"  an entry of the same time that this was before or after, by its seq,
              where it makes a difference: the order of the lines says nothing
  "happened"  true: it is done already, and is saved with the rules it broke; some still ask
  "answers"   override the rules that stop it: [{"rule":"H07","by":"","reason":""}]; where a
              rule speaks of two things, one for each: "of" says which ("of":"S1")
  "not_done"  true: it was not done, and that a rule stopped it is saved
  "same"      true: it is saved already (a dose); the two are linked, nothing counts twice

"subject" is a name. Where several things have it, say which: "load 74", or
{"kind":"load","name":"74"}; kinds are vessel, press, load, person, product, place,
shift, house and words. A name that nothing has is taken as words.

Quantities are text with their unit: "192 hL", "5072 US gal", "576 g", "9.4 °C",
"59 °F", "3 g/hL", "90m", "1h30". A number with two readings, "4.000 L" or
"4,000 L", is asked about unless the house names its decimal mark ("decimal"). In a
rehearsal "saved" is when a line became known, and the clock goes by the lines.
`)
	for _, s := range subjects {
		b.WriteString("\n" + s.name + "\n")
		for _, x := range s.examples {
			if !x.quiet {
				fmt.Fprintf(&b, "\n  %s\n  %s\n", x.says, x.line)
			}
		}
	}
	return strings.TrimRight(b.String(), "\n")
}
