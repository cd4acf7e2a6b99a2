package cellar_test

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// nightAt is an instant of the demo night: from 18:00 on it is the Thursday,
// before that the Friday.
func nightAt(clock string) time.Time {
	day := "2026-09-25T"
	if clock >= "18:00" {
		day = "2026-09-24T"
	}
	t, err := time.Parse(time.RFC3339, day+clock+":00+02:00")
	if err != nil {
		panic(err)
	}
	return t
}

// nightLines reads the commands of the demo night without playing them.
func nightLines(t *testing.T) []cellar.Command {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/night.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	var out []cellar.Command
	sc := bufio.NewScanner(bytes.NewReader(raw))
	sc.Buffer(make([]byte, 1<<20), 1<<20)
	for n := 1; sc.Scan(); n++ {
		l := strings.TrimSpace(sc.Text())
		if l == "" || strings.HasPrefix(l, "#") {
			continue
		}
		c, err := cellar.ParseLine([]byte(l))
		if err != nil {
			t.Fatalf("line %d: %v\n    %s", n, err, l)
		}
		out = append(out, c)
	}
	return out
}

// night is the demo night played up to an instant.
type night struct{ *house }

func nightUntil(t *testing.T, clock string) night {
	t.Helper()
	return night{playNight(t, nightAt(clock))}
}

func (h night) vessel(p cellar.TankNumber) *cellar.Vessel {
	h.t.Helper()
	v, ok := h.s.Vessel(p)
	if !ok {
		h.t.Fatalf("there is no vessel %s", p)
	}
	return v
}

func (h night) press(p cellar.TankNumber) *cellar.Press {
	h.t.Helper()
	x, ok := h.s.Press(p)
	if !ok {
		h.t.Fatalf("there is no press %s", p)
	}
	return x
}

func (h night) stock(id cellar.ProductID) *cellar.Product {
	h.t.Helper()
	p, ok := h.s.Product(id)
	if !ok {
		h.t.Fatalf("there is no product %s", id)
	}
	return p
}

// due is the due of the one open clock of a subject with a verb.
func (h night) due(subject, verb string) string {
	h.t.Helper()
	for _, c := range h.s.ClocksOf(h.s.Known(subject)) {
		if c.Says() == verb {
			return h.s.Clock(c.Due) + " " + string(c.DueKind)
		}
	}
	return "none"
}

// lastCheck is the latest check of what a vessel holds.
func (h night) lastCheck(p cellar.TankNumber) *cellar.Check {
	h.t.Helper()
	checks := h.vessel(p).Now.Checks
	if len(checks) == 0 {
		h.t.Fatalf("no pectin test of %s stands", p)
	}
	return checks[len(checks)-1]
}

func nightSame[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

func TestNightHasEveryEntryInTheOrderItBecameKnown(t *testing.T) {
	entry := regexp.MustCompile(`^E\d{3}$`)
	seen := map[string]bool{}
	lines := nightLines(t)
	var last time.Time
	for i, c := range lines {
		h := cellar.HeadOf(c)
		if !entry.MatchString(h.Entry) {
			t.Errorf("command %d (%s) names no entry: %q", i+1, cellar.Do(c), h.Entry)
		}
		if h.At.IsZero() || h.By == "" {
			t.Errorf("command %d (%s, %s) lacks when or who", i+1, cellar.Do(c), h.Entry)
		}
		if !h.Written.IsZero() && !h.Written.After(h.At) {
			t.Errorf("command %d (%s): written %s, not after %s", i+1, h.Entry, h.Written, h.At)
		}
		known := cellar.KnownAt(c, h.At)
		if known.Before(last) {
			t.Errorf("command %d (%s): known %s, after a line of %s", i+1, h.Entry, known, last)
		}
		last = known
		seen[h.Entry] = true
	}
	for n := 1; n <= 172; n++ {
		if e := fmt.Sprintf("E%03d", n); !seen[e] {
			t.Errorf("%s stands on no line", e)
		}
		delete(seen, fmt.Sprintf("E%03d", n))
	}
	delete(seen, "E000") // the cellar as it stood
	for e := range seen {
		t.Errorf("%s is no entry of the night", e)
	}
	if _, ok := lines[0].(*cellar.Rehearse); !ok {
		t.Errorf("the first line is %s, want rehearse", cellar.Do(lines[0]))
	}
	t.Logf("172 entries in %d lines", len(lines))
}

func TestNightOpensWithTheWholeCellar(t *testing.T) {
	h := nightUntil(t, "18:00")
	nightSame(t, "vessels", len(h.s.Vessels()), 47)
	nightSame(t, "presses", len(h.s.Presses()), 4)
	nightSame(t, "loads booked", len(h.s.Loads), 12) // ten expected, two in the presses
	nightSame(t, "total", h.s.Total(), quantity.HL(2953))
	nightSame(t, "rehearsal", h.s.Rehearsal, true)
	nightSame(t, "lead", h.s.Shift.Lead, cellar.Initials("MA"))
	var got []string
	for _, c := range h.s.Clocks() {
		got = append(got, fmt.Sprintf("%s %s %s %s", h.s.Clock(c.Due), c.Subject, c.Says(), c.DueKind))
	}
	want := []string{"18:20 105 test act-at", "18:46 P2 full act-at", "18:55 601 cool down act-at",
		"19:10 P1 empty it act-at",
		"19:40 101 rack not-before", "20:00 reds pump over act-at", "20:30 102 test act-at",
		"22:00 501 drain not-after", "22:40 502 drain not-after",
		"06:00 shift hand over not-before"}
	if !slices.Equal(got, want) {
		t.Errorf("the nine clocks and the end of the shift:\n got %q\nwant %q", got, want)
	}
}

// The 47 vessels as they stand when the night ends. "Holding" is waiting to us,
// "awaiting inoculation" is racked, the starter ferments, and what is kept
// and not made into anything is stored.
func TestNightVesselsAtSix(t *testing.T) {
	h := nightUntil(t, "06:00")
	rows := []struct {
		number cellar.TankNumber
		hl     float64
		stage  stage.Stage
		name   string
	}{
		{"101", 163.2, stage.Filling, "Chardonnay juice"},
		{"102", 192.0, stage.Flotation, "Muscat juice"},
		{"103", 211.1, stage.Contact, "Sauvignon juice"},
		{"104", 104.0, stage.Settling, "Sauvignon juice"},
		{"105", 22.0, stage.Filling, "Riesling juice"},
		{"106", 62.7, stage.Waiting, "Grenache rosé juice"},
		{"107", 0, stage.OutOfUse, ""},
		{"108", 118.3, stage.Settling, "Chardonnay juice"},
		{"201", 168.0, stage.Fermenting, "Chardonnay juice"},
		{"202", 166.0, stage.Fermenting, "Chardonnay juice"},
		{"203", 165.0, stage.Fermenting, "Chardonnay clear juice"},
		{"204", 82.7, stage.Waiting, "Syrah juice"},
		{"205", 170.0, stage.Fermenting, "Sauvignon juice"},
		{"206", 151.0, stage.Racked, "Grenache rosé clear juice"},
		{"207", 158.0, stage.Fermenting, "Riesling juice"},
		{"208", 48.0, stage.Waiting, "Sauvignon juice"},
		{"209", 152.5, stage.Racked, "Sauvignon clear juice"},
		{"210", 0, stage.Clean, ""},
		{"211", 165.0, stage.Fermenting, "Chardonnay juice"},
		{"212", 198.0, stage.Stored, "2025 blend"},
		{"301", 142.0, stage.Maceration, "Syrah must"},
		{"302", 138.0, stage.ColdSoak, "Syrah must"},
		{"303", 144.0, stage.Maceration, "Merlot must"},
		{"304", 144.0, stage.Maceration, "Merlot must"},
		{"305", 134.3, stage.ColdSoak, "Grenache must"},
		{"306", 0, stage.Clean, ""},
		{"307", 0, stage.Dirty, ""},
		{"308", 140.0, stage.Maceration, "Merlot must"},
		{"401", 48.0, stage.Waiting, "Chardonnay press juice"},
		{"402", 49.0, stage.Waiting, "Sauvignon press juice"},
		{"403", 53.6, stage.Waiting, "Chardonnay press juice"},
		{"404", 12.0, stage.Fermenting, "starter"},
		{"405", 33.5, stage.Fermenting, "Chardonnay clear juice"},
		{"406", 45.8, stage.Fermenting, "Grenache rosé juice"},
		{"407", 15.3, stage.Waiting, "Pinot Noir juice"},
		{"408", 30.0, stage.Stored, "cleaning solution"},
		{"501", 0, stage.Dirty, ""},
		{"502", 0, stage.Dirty, ""},
		{"503", 51.0, stage.Waiting, "Sauvignon press juice"},
		{"504", 39.4, stage.Settling, "Gewürztraminer juice"},
		{"601", 0, stage.Dirty, ""},
		{"602", 108.6, stage.Waiting, "Syrah hot must"},
		{"701", 59.0, stage.JuiceLees, "juice lees"},
		{"702", 0, stage.Clean, ""},
		{"K1", 3.9, stage.Waiting, "Pinot Noir press juice"},
		{"K2", 9.6, stage.Waiting, "Gewürztraminer press juice"},
		{"K3", 0, stage.Clean, ""},
	}
	nightSame(t, "rows", len(rows), len(h.s.Vessels()))
	for _, r := range rows {
		v := h.vessel(r.number)
		nightSame(t, string(r.number)+" volume", v.Now.Volume, quantity.HL(r.hl))
		nightSame(t, string(r.number)+" stage", v.Now.Stage, r.stage)
		nightSame(t, string(r.number)+" content", v.Now.Name(), r.name)
	}
	if h.vessel("209").Hold == nil {
		t.Error("209 is not on hold at 06:00")
	}
	for number, want := range map[cellar.TankNumber]string{
		"P1": "filling 0418+0419 Riesling", "P2": "pressing 0417 Chardonnay to 06:55", "P3": "ready",
		"P4": "emptying 0416 Chardonnay",
	} {
		p := h.press(number)
		got := strings.TrimSpace(string(p.State) + " " + p.Name())
		if p.State == cellar.PressRunning {
			got += " to " + h.s.Clock(p.End)
		}
		nightSame(t, string(number), got, want)
	}
	nightSame(t, "shift ended", h.s.Shift.Ended.Equal(nightAt("06:00")), true)
	nightSame(t, "shift to", h.s.Shift.Next, cellar.Initials("GW"))
}

// What is due in half an hour at 21:20, one of the twelve tasks.
func TestNightDueAtTwentyPastNine(t *testing.T) {
	now, h := nightAt("21:20"), nightUntil(t, "21:20")
	var got []string
	for _, d := range h.s.Next(now) {
		if d.Clock != "" && !d.At.After(now.Add(30*time.Minute)) { // what is worth a look is due nowhere
			got = append(got, fmt.Sprintf("%s %s %s", h.s.Clock(d.At), d.Subject, d.Verb))
		}
	}
	slices.Sort(got)
	want := []string{"21:25 105 look", "21:25 105 rack", "21:25 P3 empty it", "21:30 601 inspect", "21:35 602 test",
		"21:45 P2 empty it", "21:50 208 inspect"}
	if !slices.Equal(got, want) {
		t.Errorf("due by 21:50:\n got %q\nwant %q", got, want)
	}
}

func TestNightAtTwentyPastTen(t *testing.T) {
	h := nightUntil(t, "22:20")
	nightSame(t, "104 verdict", h.lastCheck("104").Verdict, clarity.Negative)
	nightSame(t, "104 stage", h.vessel("104").Now.Stage, stage.Settling)
	nightSame(t, "104 rack", h.due("104", "rack"), "12:20 not-before")
	nightSame(t, "102 verdict", h.lastCheck("102").Verdict, clarity.Positive)
	nightSame(t, "102 look", h.due("102", "test"), "23:00 act-at")
	hold := h.vessel("209").Hold
	if hold == nil || hold.Releaser != "OF" {
		t.Fatalf("209 is not held for OF: %+v", hold)
	}
	var strange quantity.Volume
	for _, p := range h.vessel("209").Now.Strangers() {
		strange += p.Volume
	}
	nightSame(t, "rosé in 209", strange, quantity.HL(3.5))
}

// The board ten minutes past two: what the dark left behind.
func TestNightAtTenPastTwo(t *testing.T) {
	now, h := nightAt("02:10"), nightUntil(t, "02:10")
	nightSame(t, "102 stage", h.vessel("102").Now.Stage, stage.Contact)
	nightSame(t, "102 test", h.due("102", "test"), "02:00 act-at")
	alarms := h.s.Alarms(now)
	if len(alarms) != 1 || alarms[0].Subject.Name != "102" || alarms[0].Overdue(now) != 10*time.Minute ||
		alarms[0].AcknowledgedBy != "" {
		t.Errorf("want the test of 102 as the only alarm, ten minutes over and unseen; got %d:", len(alarms))
		for _, a := range alarms {
			t.Errorf("    %s %s %s, %s over, %s", a.Subject, a.Says(), h.s.Clock(a.Due), a.Overdue(now),
				h.s.Words(a.Basis))
		}
	}
	nightSame(t, "108 stage", h.vessel("108").Now.Stage, stage.CheckDue)
	nightSame(t, "108 verdict", h.lastCheck("108").Verdict, clarity.Pending)
	nightSame(t, "108 second look", h.due("108", "check haze"), "02:15 act-at")
	nightSame(t, "601 stage", h.vessel("601").Now.Stage, stage.HotHold)
	nightSame(t, "601 hold", h.due("601", "cool down"), "02:18 act-at")
	nightSame(t, "504 stage", h.vessel("504").Now.Stage, stage.Contact)
	nightSame(t, "504 test", h.due("504", "test"), "03:40 act-at")
	nightSame(t, "104 stage", h.vessel("104").Now.Stage, stage.Settling)
	nightSame(t, "104 rack", h.due("104", "rack"), "12:20 not-before")
	for _, v := range []struct {
		number cellar.TankNumber
		hl     float64
		stage  stage.Stage
	}{{"601", 108.6, stage.HotHold}, {"106", 62.7, stage.Waiting}, {"204", 82.7, stage.Waiting},
		{"206", 151, stage.Racked}, {"209", 152.5, stage.Racked}} {
		nightSame(t, string(v.number)+" volume", h.vessel(v.number).Now.Volume, quantity.HL(v.hl))
		nightSame(t, string(v.number)+" stage", h.vessel(v.number).Now.Stage, v.stage)
	}
	nightSame(t, "204 clocks", len(h.s.ClocksOf(h.s.Known("204"))), 0) // its must was tested clear before the press
	for _, p := range []struct {
		number       cellar.TankNumber
		state, until string
		main         cellar.TankNumber
	}{{"P1", "filling", "02:36 act-at", ""}, {"P2", "pressing", "03:30 act-at", "103"}, {"P3", "ready", "none", ""},
		{"P4", "pressing", "02:30 act-at", "208"}} {
		x := h.press(p.number)
		verb := map[bool]string{true: "full", false: "empty it"}[x.State == cellar.PressFilling]
		nightSame(t, string(p.number)+" state", string(x.State), p.state)
		nightSame(t, string(p.number)+" due", h.due(string(p.number), verb), p.until)
		nightSame(t, string(p.number)+" juice to", x.Main, p.main)
	}
	nightSame(t, "P3 free since", h.s.Clock(h.press("P3").Since), "01:05")
	l, ok := h.s.Load("0416")
	if !ok || l.State != cellar.LoadExpected || !l.Booked.Equal(nightAt("02:00")) || l.Late(now) != 10*time.Minute {
		t.Errorf("0416 should be expected since 02:00 and not seen: %+v", l)
	}
}

// The board knows at any minute only what had been written by then.
func TestNightBoardKnowsOnlyWhatWasKnown(t *testing.T) {
	for _, x := range []struct {
		at  string
		not []string
	}{
		{"21:35", []string{"E055", "E057"}},                         // the wrong tank, seen at 21:36
		{"01:51", []string{"E102", "E103", "E104", "E105", "E106"}}, // the workstation is off
		{"01:52", []string{"E103", "E104", "E105"}},
		{"02:09", []string{"E111", "E112", "E113"}},
		{"02:10", []string{"E112", "E113", "E114"}},
	} {
		for _, e := range slices.Collect(nightUntil(t, x.at).s.LatestEvents) {
			if slices.Contains(x.not, e.Entry) {
				t.Errorf("at %s the board knows %s: %s", x.at, e.Entry, e.Text)
			}
		}
	}
	h := nightUntil(t, "01:52")
	p := h.press("P2")
	nightSame(t, "P2 state", p.State, cellar.PressStopped)
	nightSame(t, "P2 stands since", h.s.Clock(p.Since), "01:17")
}

func TestNightStockAndTank103(t *testing.T) {
	h := nightUntil(t, "06:00")
	nightSame(t, "E-2240 open", h.stock("E-2240").Open.String(), "64 g")
	nightSame(t, "E-2240 sealed", h.stock("E-2240").Sealed, 2)
	nightSame(t, "E-2204 open", h.stock("E-2204").Open.String(), "40 g")
	c := h.vessel("103").Now
	var parts []string
	for _, p := range c.Parts {
		parts = append(parts, fmt.Sprintf("%s %s", p.Load, p.Volume))
	}
	nightSame(t, "103 parts", strings.Join(parts, ", "), "0414 109 hL, 0415 102.1 hL")
	var given quantity.Amount
	for _, d := range c.Doses {
		nightSame(t, "103 product", d.Product, cellar.ProductID("E-2240"))
		given = given.Add(d.Amount)
	}
	nightSame(t, "103 doses", given.String(), "506.6 g")
	nightSame(t, "103 test", h.due("103", "test"), "07:45 act-at")
	h = nightUntil(t, "04:44")
	nightSame(t, "103 test while the second half is not dosed", h.due("103", "test"), "none")
}

// The stock as the paper counted it on the way.
func TestNightStockOnTheWay(t *testing.T) {
	for _, x := range []struct {
		at   string
		id   cellar.ProductID
		open string
	}{{"19:14", "E-2204", "580 g"}, {"19:15", "E-2204", "424 g"}, {"20:50", "E-2204", "40 g"}, {"22:05", "E-2240",
		"1 kg"}} {
		h := nightUntil(t, x.at)
		nightSame(t, x.at+" "+string(x.id), h.stock(x.id).Open.String(), x.open)
	}
}

// A control that stays clear does not clear the tank to move; a new one does.
func TestNightFlotationOf102(t *testing.T) {
	float := func(h night, now time.Time) error {
		_, err := cellar.Decide(h.s, &cellar.SetStage{Head: cellar.Head{By: "NS"}, Vessel: "102",
			Stage: stage.Flotation}, now)
		return err
	}
	h := nightUntil(t, "04:35")
	nightSame(t, "verdict 04:35", h.lastCheck("102").Verdict, clarity.Invalid)
	var needs *cellar.Needs
	if err := float(h, nightAt("04:35")); !errors.As(err, &needs) || needs.Findings[0].Rule != "H09" {
		t.Errorf("flotation of 102 at 04:35: %v, want H09", err)
	}
	h = nightUntil(t, "04:55")
	nightSame(t, "verdict 04:55", h.lastCheck("102").Verdict, clarity.Negative)
	if err := float(h, nightAt("04:55")); err != nil {
		t.Errorf("flotation of 102 at 04:55: %v", err)
	}
}

func TestNightNearMiss(t *testing.T) {
	h := nightUntil(t, "23:35")
	if len(h.s.Stopped) != 2 {
		t.Fatalf("%d near misses, want 2: %+v", len(h.s.Stopped), h.s.Stopped)
	}
	climb := h.s.Stopped[0] // at 21:10 JH wanted into 307
	nightSame(t, "rule", climb.Rule, gate.Code("H17"))
	for _, want := range []string{"JH", "no permit", "no attendant", "no gas reading"} {
		if !strings.Contains(h.s.Words(climb.Why), want) {
			t.Errorf("the refused entry does not name %s: %s", want, h.s.Words(climb.Why))
		}
	}
	m := h.s.Stopped[1]
	nightSame(t, "where", m.Subject.Full(), "vessel 104")
	nightSame(t, "who", m.By, cellar.Initials("NS"))
	nightSame(t, "rule", m.Rule, gate.Code("H07"))
	nightSame(t, "when", h.s.Clock(m.At), "23:35")
	for _, want := range []string{"TQ", "19:40", "416 g"} {
		if !strings.Contains(h.s.Words(m.Why), want) {
			t.Errorf("the near miss does not name %s: %s", want, h.s.Words(m.Why))
		}
	}
}

func TestNightChecksAndAdditions(t *testing.T) {
	h := nightUntil(t, "06:00")
	verdicts, additions := map[string]clarity.Verdict{}, 0
	for _, v := range h.s.Vessels() {
		for _, it := range items(v) {
			switch {
			case it.Begun != nil:
				verdicts[it.Begun.ID] = ""
			case it.Read != nil:
				verdicts[it.Read.ID] = it.Read.Verdict
			case it.Dose != nil && !it.Dose.Counted:
				additions++
			}
		}
	}
	counts := map[clarity.Verdict]int{}
	for _, v := range verdicts {
		counts[v]++
	}
	nightSame(t, "checks", len(verdicts), 14)
	nightSame(t, "negative", counts[clarity.Negative], 9)
	nightSame(t, "positive", counts[clarity.Positive], 4)
	nightSame(t, "invalid", counts[clarity.Invalid], 1)
	nightSame(t, "additions", additions, 21)
	var in quantity.Mass
	for _, l := range h.s.Loads {
		if l.Gross > 0 {
			in += l.Net
		}
	}
	nightSame(t, "received", in, 131400*quantity.Kilogram)
}

// The overrides and the warnings taken, and apart from them what had happened.
func TestNightAnswers(t *testing.T) {
	h := nightUntil(t, "06:00")
	var overrides, taken, broken []string
	for _, a := range h.s.Answered {
		line := strings.TrimSpace(fmt.Sprintf("%s %s %s %s %s", h.s.Clock(a.At), a.Subject, a.Rule, a.By, a.Second))
		switch {
		case a.Broken:
			broken = append(broken, line)
		case a.Stop:
			overrides = append(overrides, line)
		default:
			taken = append(taken, line)
		}
	}
	for _, x := range []struct {
		what      string
		got, want []string
	}{
		{"overrides", overrides, []string{"20:50 102 H07 MA NS", "04:55 P2 H05 MA"}},
		{"taken", taken, []string{"18:50 P2 W07 TQ", "20:47 P2 D33 TQ", "22:10 106 W21 MA", "22:45 502 W05 MA",
			"00:16 601 W22 MA", "02:20 102 W11 NS", "02:20 601 W22 TQ", "03:20 P3 W06 TQ", "03:40 P4 W06 TQ"}},
		{"had happened", broken, []string{"21:33 105 H11 NS"}},
	} {
		if !slices.Equal(x.got, x.want) {
			t.Errorf("%s:\n got %q\nwant %q", x.what, x.got, x.want)
		}
	}
}

// What the night wrote of its crew and its gas: the head count in the dark, the
// break, and the last reading with its meter.
func TestNightCrewAndGas(t *testing.T) {
	h := nightUntil(t, "02:10")
	count, ok := h.s.LastCount()
	nightSame(t, "a count", ok, true)
	nightSame(t, "count", count.Text(), "head count 4 (5 on the list): JH MA NS TQ; on break, not counted: BO; none "+
		"missing")
	nightSame(t, "back", h.due("BO", "back"), "04:00 act-at")
	gas, _ := h.s.LastGas()
	nightSame(t, "gas", h.s.Clock(gas.At)+" "+gas.Place+" "+gas.Text(),
		"02:10 300 pit CO2 2900 ppm, O2 20.8 %, meter G2")
	nightSame(t, "no permit all night", h.s.EntryLine(nightAt("02:10")), "NO TANK ENTRY: no live permit")
	at := nightUntil(t, "01:53")
	gas, _ = at.s.LastGas()
	nightSame(t, "leave", at.s.Leave(gas), true)
	h = nightUntil(t, "06:00")
	var in []string
	for _, p := range h.s.OnSite() {
		in = append(in, string(p.Who))
	}
	nightSame(t, "on site at six", strings.Join(in, " "), "MA TQ NS BO JH GW")
}
