package wall

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/testdata"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
)

// moment is an instant of the demo night; hours below noon are the next morning.
func moment(t testing.TB, text string) time.Time {
	t.Helper()
	x, err := time.Parse("15:04:05", text)
	require.NoError(t, err)
	day := 24
	if x.Hour() < 12 {
		day = 25
	}
	return time.Date(2026, 9, day, x.Hour()-2, x.Minute(), x.Second(), 0, time.UTC)
}

// desk is the demo night as it stood at an instant.
func desk(t testing.TB, at string) *cellar.Desk {
	t.Helper()
	until := moment(t, at)
	d := &cellar.Desk{Journal: memory.New(), State: cellar.NewState(), Station: "test"}
	sc := bufio.NewScanner(bytes.NewReader(testdata.Night))
	sc.Buffer(make([]byte, 1<<20), 1<<20)
	for sc.Scan() {
		l := bytes.TrimSpace(sc.Bytes())
		if len(l) == 0 || l[0] == '#' {
			continue
		}
		c, err := cellar.ParseLine(l)
		require.NoError(t, err)
		now := cellar.KnownAt(c, until)
		if now.After(until) {
			break
		}
		_, err = d.Write(context.Background(), c, now)
		require.NoError(t, err, string(l))
	}
	return d
}

func sight(t testing.TB, d *cellar.Desk, now string) face.Sight {
	return face.Sight{State: d.State, Now: moment(t, now), Theme: inked(termenv.Ascii), Who: "MA", Demo: true}
}

func told(all []item) []string {
	var out []string
	for _, it := range all {
		mark := ""
		if it.alarm {
			mark = "▲"
		}
		if it.soon {
			mark = "soon "
		}
		out = append(out, fmt.Sprintf("%s%s %s %s %s (%s)", mark, it.number, it.count, it.word, it.who, it.note(99)))
	}
	return out
}

// TestItemsOfTheNight: what is due stands by time with alarms on top, in few
// words; what only may be done is left out while there is something to do.
func TestItemsOfTheNight(t *testing.T) {
	d := desk(t, "02:10:00")
	shown, rest := items(sight(t, d, "02:10:05"), 4)
	assert.Equal(t, []string{
		"▲102 +10m TEST NS (late, due 02:00)",
		"▲0416 +10m LOAD  (load due, booked 02:00, not arrived)",
		"soon 108 5m CHECK NS (check haze, 02:15)",
		"soon 601 8m COOL MA (cool down, 02:18)",
	}, told(shown))
	assert.Equal(t, "and 5 more: P4 empty it 20m, P1 full 26m, P2 empty it 1h20", restLine(rest, sight(t, d,
		"02:10:05"),
		60))
	assert.Equal(t, "and 5 more", restLine(rest, sight(t, d, "02:10:05"), 20), "what does not fit is counted")
	all, none := items(sight(t, d, "02:10:05"), 20)
	assert.Empty(t, none)
	assert.Equal(t, "", restLine(none, sight(t, d, "02:10:05"), 60))
	for _, it := range all {
		assert.NotEqual(t, "104", it.number, "racking from 12:20 on is no deed of the night")
	}
}

// TestSeenStandsBehindUnseen, as on every face: space opens what stands on top.
func TestSeenStandsBehindUnseen(t *testing.T) {
	d := desk(t, "02:10:00")
	now := moment(t, "02:16:00")
	k := d.State.Alarms(now)
	require.Len(t, k, 2)
	_, err := d.Write(context.Background(), &cellar.See{Head: cellar.Head{By: "MA"}, Clock: k[0].ID}, now)
	require.NoError(t, err)
	g := sight(t, d, "02:17:30")
	shown, _ := items(g, 4)
	assert.Equal(t, []string{"▲108 +2m VOID NS (check haze, void, test again)",
		"▲102 +17m TEST MA (acknowledged by MA, late, due 02:00)"}, told(shown)[:2])
	assert.Equal(t, d.State.Alarms(g.Now)[0].Subject.Name, shown[0].number)
}

// TestAReadingAndItsVoidTime: the minutes in which a reading counts are told as
// now, and what is left of them stands beside.
func TestAReadingAndItsVoidTime(t *testing.T) {
	d := desk(t, "02:10:00")
	at := moment(t, "02:10:00")
	_, err := d.Write(context.Background(), &cellar.StartCheck{Head: cellar.Head{By: "NS"}, Vessel: "102"}, at)
	require.NoError(t, err)
	k := d.State.ClocksOf(d.State.Known("102"))[0]
	require.False(t, k.Until.IsZero())
	first := func(now time.Time) string {
		shown, _ := items(face.Sight{State: d.State, Now: now}, 20)
		for i, it := range shown {
			if it.number == "102" {
				return told(shown)[i]
			}
		}
		return ""
	}
	assert.Equal(t, "▲102 NOW READ NS (read tubes, void in 3 min)", first(k.Until.Add(-4*time.Minute-29*time.Second)))
	assert.Contains(t, first(k.Until), "NOW READ NS (read tubes, last minute)")
	assert.Contains(t, first(k.Until.Add(2*time.Minute)), "VOID NS (read tubes, void, test again)")
}

// TestOnlyNotices: where nothing has to be done, what may be done has the place.
func TestOnlyNotices(t *testing.T) {
	s := cellar.NewState()
	g := face.Sight{State: s, Now: moment(t, "02:10:00")}
	shown, rest := items(g, 4)
	assert.Empty(t, shown)
	assert.Empty(t, rest)
	d := desk(t, "22:20:00")
	for _, k := range d.State.Clocks() {
		if k.DueKind != cellar.NotBefore {
			_, err := d.Write(context.Background(), &cellar.MoveClock{Head: cellar.Head{By: "MA"}, Clock: k.ID,
				Off: true, Reason: "for the test"}, moment(t, "22:20:00"))
			require.NoError(t, err)
		}
	}
	shown, _ = items(sight(t, d, "22:20:00"), 2)
	assert.Equal(t, []string{"0413 25m LOAD  (load due, booked 22:45)"}, told(shown),
		"105 may be racked, and runs already")
}

func TestCount(t *testing.T) {
	for _, c := range []struct {
		left time.Duration
		want string
	}{
		{26 * time.Minute, "26m"}, {10 * time.Minute, "10m"}, {10*time.Minute + time.Second, "11m"},
		{10*time.Minute - time.Second, "10m"},
		{61 * time.Second, "2m"}, {9 * time.Second, "1m"}, {time.Millisecond, "1m"}, {0, "NOW"}, {-59 * time.Second,
			"NOW"},
		{-time.Minute, "+1m"}, {-12*time.Minute - 59*time.Second, "+12m"}, {-105 * time.Minute, "+1h45"},
		{-1000 * time.Minute, "+16h"},
		{80 * time.Minute, "1h20"}, {105 * time.Minute, "1h45"}, {59*time.Minute + 30*time.Second, "1h00"},
		{17 * time.Hour, "17h"},
		{-30 * 24 * time.Hour, "+30d"}, {365 * 24 * time.Hour, "99d"},
	} {
		assert.Equal(t, c.want, count(c.left), c.left.String())
		assert.LessOrEqual(t, len(count(c.left)), len(counts))
	}
	for m := -200000; m < 200000; m += 37 {
		text := count(time.Duration(m) * time.Second)
		for _, z := range sizes {
			require.LessOrEqual(t, z.width(text), max(z.width(counts), z.width("NOW")), text)
		}
		if text != "NOW" {
			require.Regexp(t, `^\+?(\d{1,2}m|\dh\d\d|\d\dh|\d{1,2}d)$`, text,
				"always with its letter, never the shape of a number")
		}
	}
}

func TestWord(t *testing.T) {
	for verb, want := range map[string]string{"test": "TEST", "second-look": "CHECK", "all-out": "OUT",
		"cool-back": "COOL", "look again": "LOOK", "": "", "rühren": "RUHREN", " call  back": "CALL"} {
		assert.Equal(t, want, word(verb))
	}
}

// TestTheStripSaysTheCaution: there is a line on entry whatever happens, and it
// never says that anybody may go in.
func TestTheStripSaysTheCaution(t *testing.T) {
	g := sight(t, desk(t, "02:10:00"), "02:10:00")
	large, says := entryLine(g, false)
	assert.Equal(t, "NO ENTRY", large)
	assert.Equal(t, "NO TANK ENTRY: no live permit", says)
	_, says = entryLine(g, true)
	assert.Equal(t, "NO TANK ENTRY", says)
	large, says = holds(g, 60)
	assert.Equal(t, "HOLD 209", large)
	assert.Equal(t, "× on hold: 209, OF to release", says)
	_, says = holds(g, 12)
	assert.Equal(t, "× HOLD 209", says)
}

// TestTheStripSaysWhatTheCrewWrote: a permit is told as only what it is, the end
// of one with somebody in comes before all, and so does who is missing; the hold
// is never pushed off.
func TestTheStripSaysWhatTheCrewWrote(t *testing.T) {
	d := desk(t, "02:10:00")
	write := func(at string, c cellar.Command) {
		t.Helper()
		_, err := d.Write(context.Background(), c, moment(t, at))
		require.NoError(t, err)
	}
	strip := func(now string, w, h int) string {
		g := sight(t, d, now)
		lines := (&Wall{}).View(g, layout.Box{W: w, H: h})
		require.Len(t, lines, h)
		return strings.Join(lines[h-9:], "\n")
	}
	sizes := [][2]int{{80, 24}, {120, 40}, {200, 60}}
	for _, z := range sizes {
		got := strip("02:11:00", z[0], z[1])
		assert.Contains(t, got, "NO TANK ENTRY")
		assert.Contains(t, got, "gas 300 pit: CO2 2900 ppm, O2 20.8 %, meter G2, 1 min ago")
	}
	assert.Contains(t, strip("05:05:00", 80, 24), "2 h 55 ago", "the age is not cut off")
	head := cellar.Head{By: "MA"}
	write("02:11:30", &cellar.ReadGas{Head: head, GasReading: cellar.GasReading{Place: "300 pit", CO2: new(31000.0),
		O2: new(18.5), Meter: "G2"}})
	got := strip("02:12:00", 80, 24)
	assert.Contains(t, got, "GET OUT. VENTILATE. CALL: 300 pit", "nor what to do")
	write("02:12:00", &cellar.WritePermit{Head: head, Number: "17", Place: "307", Given: "site lead", Holder: "NS",
		Attendant: "TQ",
		Until:     moment(t, "02:40:00"), CO2: new(600.0), O2: new(20.9), Meter: "G2"})
	write("02:13:00", &cellar.EnterVessel{Head: head, Place: "307", Who: "NS", Permit: "17"})
	large, _ := entryLine(sight(t, d, "02:14:00"), false)
	assert.Equal(t, "NS IN 307", large)
	for _, z := range sizes {
		got := strip("02:14:00", z[0], z[1])
		assert.Contains(t, got, "NS IN 307 since 02:13; NO TANK ENTRY EXCEPT UNDER PERMIT 17")
		assert.Contains(t, got, "209", "the hold stays")
		assert.NotContains(t, strings.ToLower(got), "safe")
	}
	assert.Contains(t, strip("02:41:00", 80, 24), "NS WENT INTO 307 AND PERMIT 17 ENDED: GET HELP, STAY OUT")
}

// TestPlanFits: at every size from the least window on there are four to six
// places, in ASCII three to six, every column has its room, and nothing lies on
// anything else.
func TestPlanFits(t *testing.T) {
	g := sight(t, desk(t, "02:10:00"), "02:10:00")
	h := houseOf(g)
	for w := 80; w <= 500; w += 3 {
		for rows := 24; rows <= 150; rows++ {
			for _, ascii := range []bool{false, true} {
				p := planFor(layout.Box{W: w, H: rows}, h, ascii)
				at := fmt.Sprintf("%dx%d ascii %v", w, rows, ascii)
				require.GreaterOrEqual(t, p.places, map[bool]int{false: 4, true: 3}[ascii], at)
				require.LessOrEqual(t, p.places, 6, at)
				require.LessOrEqual(t, p.places*p.pitch+p.strip.rows+1, rows, at)
				require.GreaterOrEqual(t, p.block, p.figures.width(aLoad), "a load has its four figures at "+at)
				require.Less(t, p.number+p.numberW, margin+p.block, at)
				require.Less(t, margin+p.block, p.count, at)
				require.Less(t, p.count+p.countW+1, p.word, at)
				require.Less(t, p.word+p.wordW, w, at)
				require.GreaterOrEqual(t, p.wordW, p.words.width(goodWord), at)
				require.GreaterOrEqual(t, p.words.dots(), p.figures.dots()/2, at)
				require.Less(t, p.noteRow(), p.pitch, "the note stands in its own item at "+at)
				if p.whoW > 0 {
					require.Less(t, p.word+p.wordW, p.who, at)
					require.Less(t, p.who+p.whoW, w, at)
				}
			}
		}
	}
	for _, c := range []struct{ w, h, places, dots int }{{80, 24, 4, 7}, {120, 40, 5, 10}, {200, 60, 6, 14}} {
		p := planFor(layout.Box{W: c.w, H: c.h}, h, false)
		assert.Equal(t, []int{c.places, c.dots}, []int{p.places, p.figures.dots()}, "%dx%d", c.w, c.h)
	}
}
