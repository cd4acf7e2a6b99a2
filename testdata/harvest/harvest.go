// Package harvest makes up a harvest: lines of the line format for so many days, tanks and
// presses, as a cellar hand would have saved them. It is an account of its own and knows
// nothing of the program, so that the program's balances can be held against it. All of it
// is invented; the same plan gives the same lines.
package harvest

import (
	"encoding/json"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"time"
)

// Plan is how long the harvest is and how large the cellar.
type Plan struct {
	Days, Tanks, Presses int
	Seed                 int64
	// Finish plays what was begun to its end: then all that is left is wine that stands, and
	// the lees of the last days.
	Finish bool
}

// Harvest is what a plan gives.
type Harvest struct {
	Lines []string // in the order in which they became known
	Juice int      // pressed, in tenths of a hectolitre
	Left  int      // gone out of the house
	Lost  int      // in hoses and pumps
	Kilos int      // grapes weighed
	Loads int
	Opens time.Time
	Ends  time.Time
}

// vessel is a tank as this account keeps it: when it is free again.
type vessel struct {
	name string
	free time.Time
}

// sunk are lees: how much, in tenths of a hectolitre, and since when.
type sunk struct {
	volume int
	from   time.Time
}

func soonest(a, b time.Time) time.Time {
	if a.IsZero() || b.Before(a) {
		return b
	}
	return a
}

type line struct {
	at    time.Time
	order int
	text  string
}

type maker struct {
	Plan
	*rand.Rand
	out     []line
	zone    *time.Location
	opens   time.Time
	end     time.Time
	settle  []*vessel
	ferment []*vessel
	press   []*vessel // tanks for pressings
	lees    []*vessel
	sunk    map[int]sunk // lees of each leesWeek
	Harvest
}

// The people of the house, invented: leads by night and by day, crew, winemaker.
const people = `[{"initials":"MA","name":"Maren Askvoll","roles":["lead"]},` +
	`{"initials":"HL","name":"Hugo Lindqvist","roles":["lead"]},{"initials":"NS","name":"Nil Sarda","roles":["tank"]},` +
	`{"initials":"TQ","name":"Teo Quist","roles":["press"]},{"initials":"PL","name":"Pia Lorne","roles":["lab"]},` +
	`{"initials":"OF","name":"Odile Ferrand","roles":["winemaker"]}]`

const (
	begins  = 18 // o'clock, the night shift
	fermDay = 10 // days that a juice ferments
	half    = 30 * time.Minute

	leesWeek = 5 * 24 * time.Hour // the lees of one go into one tank, which goes out in the next
)

// Make makes the lines of a plan.
func (p Plan) Make() Harvest {
	zone := time.FixedZone("CEST", 2*60*60)
	m := &maker{Plan: p, Rand: rand.New(rand.NewSource(p.Seed + 1)), zone: zone, sunk: map[int]sunk{},
		opens: time.Date(2026, 8, 24, begins, 0, 0, 0, zone)}
	m.end = m.opens.AddDate(0, 0, p.Days)
	m.house()
	perNight := m.perNight()
	for d := range p.Days {
		night := m.opens.AddDate(0, 0, d)
		m.shift(night, d)
		for k := range perNight {
			m.load(night, k)
		}
		m.mess(night, d)
	}
	if m.Finish {
		for _, l := range m.out {
			if l.at.After(m.end) {
				m.end = l.at
			}
		}
	}
	for week, lees := range m.sunk {
		v := m.lees[week%2]
		at := m.opens.Add(time.Duration(week+1)*leesWeek + 44*time.Hour)
		m.rinses(v, lees.from.Add(-20*time.Minute))
		m.cleans(v, m.leaves(v, lees.volume, at))
	}
	slices.SortStableFunc(m.out, func(a, b line) int {
		if c := a.at.Compare(b.at); c != 0 {
			return c
		}
		return a.order - b.order
	})
	for _, l := range m.out {
		if !l.at.After(m.end) {
			m.Lines = append(m.Lines, l.text)
		}
	}
	m.Opens, m.Ends = m.opens, m.end
	return m.Harvest
}

// perNight is how many loads a night the tanks and presses can take.
func (m *maker) perNight() int {
	return max(1, min(3*m.Presses, len(m.settle)/2, len(m.ferment)/(fermDay+2), len(m.press)-1))
}

// say keeps one line: what is done, by whom, when, and the rest as pairs.
func (m *maker) say(at time.Time, by, do string, pairs ...any) {
	var b strings.Builder
	at = at.Truncate(time.Second)
	fmt.Fprintf(&b, `{"do":%q,"at":%q,"by":%q`, do, at.Format(time.RFC3339), by)
	for i := 0; i < len(pairs); i += 2 {
		v, err := json.Marshal(pairs[i+1])
		if err != nil {
			panic(err) // a plan says nothing that is no JSON
		}
		fmt.Fprintf(&b, `,%q:%s`, pairs[i], v)
	}
	b.WriteByte('}')
	m.out = append(m.out, line{at, len(m.out), b.String()})
}

// count adds to an account what is so before the plan ends.
func (m *maker) count(at time.Time, account *int, n int) {
	if m.Finish || !at.After(m.end) {
		*account += n
	}
}

// raw is JSON as it stands.
func raw(format string, values ...any) json.RawMessage {
	return json.RawMessage(fmt.Sprintf(format, values...))
}

func hl(tenths int) string { return fmt.Sprintf("%d.%d hL", tenths/10, tenths%10) }

func (m *maker) house() {
	at := m.opens
	m.say(at, "HL", "rehearse", "title", fmt.Sprintf("a harvest of %d days, made up", m.Days))
	m.say(at, "HL", "house", "name", "Tolvenga Cellars", "zone", "Europe/Paris", "units", "metric", "recipe", "1:2",
		"similar_numbers", "off", "people", raw(people))
	parts := []struct {
		list       *[]*vessel
		first, n   int
		brim, uses string
	}{
		{&m.settle, 101, max(2, m.Tanks/6), "100 hL", "settle"},
		{&m.press, 401, max(2, m.Tanks/15), "20 hL", "pressings"},
		{&m.lees, 701, 2, "80 hL", "lees"},
		{&m.ferment, 201, 0, "110 hL", "ferment"},
	}
	parts[3].n = max(1, m.Tanks-parts[0].n-parts[1].n-parts[2].n)
	var opening []string
	for _, part := range parts {
		for i := range part.n {
			v := &vessel{name: fmt.Sprint(part.first + i), free: m.opens}
			*part.list = append(*part.list, v)
			m.say(at, "HL", "vessel", "vessel", v.name, "brim", part.brim, "use", part.uses)
			opening = append(opening, fmt.Sprintf(`{"vessel":%q,"stage":"empty clean"}`, v.name))
		}
	}
	for i := range m.Presses {
		m.say(at, "HL", "press", "press", fmt.Sprintf("P%d", i+1), "rated", "14 t", "whole_bunch", "8 t", "empty",
			"35m",
			"programmes", raw(`[{"name":"soft","minutes":"120"}]`))
	}
	card := raw(`{"rows":[{"from":"15 °C","to":"20 °C","wait":"2h"},{"from":"12 °C","to":"15 °C","wait":"3h"},` +
		`{"from":"10 °C","to":"12 °C","wait":"4h"}],"floor":"10 °C","ceiling":"45 °C","low":"1 g/hL","high":"4 g/hL",` +
		`"max":"6 g/hL","make_up":10}`)
	m.say(at, "HL", "product", "product", "E-1", "name", "clarifying enzyme", "class", "enzyme-clarify", "unit", "g/hL",
		"card", card, "expiry", "2027-06", "open", "80 kg")
	m.say(at, "HL", "product", "product", "S-1", "name", "SO2 solution", "class", "SO2", "liquid", true, "unit", "g/hL",
		"card", raw(`{"strength":"150 g/L"}`), "open", "900 L")
	m.say(at, "HL", "product", "product", "Y-1", "name", "yeast", "class", "yeast", "unit", "g/hL", "open", "900 kg")
	m.say(at, "HL", "opening", "vessels", raw("[%s]", strings.Join(opening, ",")))
}

// shift is a night and the day after it. Every ninth night its end is forgotten, and every
// seventh day that it began at all.
func (m *maker) shift(night time.Time, d int) {
	day := night.Add(12 * time.Hour)
	end := night.Add(24 * time.Hour)
	m.say(night.Add(time.Minute), "MA", "shift-start", "lead", "MA", "crew", []string{"NS", "TQ", "PL"}, "next", "HL",
		"ends", day.Format(time.RFC3339), "happened", true)
	if d%9 != 8 {
		m.say(day.Add(-2*time.Minute), "MA", "shift-end", "to", "HL", "out", []string{"MA", "NS", "TQ"}, "happened",
			true)
	}
	if d%7 == 5 {
		return
	}
	m.say(day.Add(time.Minute), "HL", "shift-start", "lead", "HL", "crew", []string{"PL"}, "next", "MA", "ends",
		end.Format(time.RFC3339), "happened", true)
	m.say(end.Add(-2*time.Minute), "HL", "shift-end", "to", "MA", "out", []string{"HL"}, "happened", true)
}

// mess is what people leave behind: notes, clocks nobody answers, a hold, a load that
// never comes, gas readings.
func (m *maker) mess(night time.Time, d int) {
	day := night.Format("2 Jan")
	m.say(night.Add(40*time.Minute), "NS", "gas", "place", m.lees[0].name, "co2", 700+m.Intn(300), "o2", 20.8,
		"meter", "G2")
	m.say(night.Add(time.Hour), "MA", "note", "text", "hose 4 drips, "+day)
	m.say(night.Add(2*time.Hour), "MA", "note", "what", "question", "text", "keep the lees of "+day+"?")
	if d%3 == 0 {
		m.say(night.Add(3*time.Hour), "MA", "note", "what", "promise", "for", "HL", "text", "pallets by noon, "+day,
			"until", night.Add(18*time.Hour).Format(time.RFC3339))
	}
	if d%4 == 1 {
		m.say(night.Add(70*time.Minute), "NS", "clock", "subject", "chiller "+day, "verb", "look", "in", "90m")
	}
	if d%10 == 4 { // the winemaker comes, goes home, and nobody signs her out
		m.say(night.Add(19*time.Hour), "HL", "in", "who", "OF")
	}
	if d%10 == 8 { // counted in the night: by then she is on no crew for days
		m.say(night.Add(5*time.Hour), "MA", "head-count", "counted", []string{"MA", "NS", "TQ", "PL"})
		m.say(night.Add(5*time.Hour+time.Minute), "MA", "out", "who", "OF")
	}
	if d%10 == 3 { // it does not come
		m.say(night.Add(3*time.Hour), "MA", "book-cancel", "load", fmt.Sprintf("9%03d", d-1), "reason",
			"picked elsewhere")
	}
	if d%5 == 2 {
		m.say(night.Add(-2*time.Hour+24*time.Hour), "HL", "book", "load", fmt.Sprintf("9%03d", d), "variety",
			"Riesling",
			"booked", night.Add(26*time.Hour).Format(time.RFC3339))
	}
}

// free takes the vessel that is free soonest, from an instant on, and when that is.
func free(of []*vessel, from time.Time) (*vessel, time.Time) {
	v := slices.MinFunc(of, func(a, b *vessel) int { return a.free.Compare(b.free) })
	if v.free.After(from) {
		from = v.free
	}
	return v, from
}

var varieties = []string{"Sauvignon", "Chardonnay", "Riesling", "Muscat", "Grenache"}

// load is one load from the booking to the last drop of its wine.
func (m *maker) load(night time.Time, k int) {
	press, slot := fmt.Sprintf("P%d", k%m.Presses+1), k/m.Presses
	tank, at := free(m.settle, night.Add(half+time.Duration(slot)*4*time.Hour+time.Duration(m.Intn(20))*time.Minute))
	tub, _ := free(m.press, at)
	if tub.free.After(at) {
		at = tub.free
	}
	m.Loads++
	id, kind := fmt.Sprintf("%04d", m.Loads), varieties[m.Intn(len(varieties))]
	net := 10_000 + 100*m.Intn(20)
	ran, pressed := net*62/1000, net*9/1000 // tenths of a hectolitre, 62 and 9 L of 100 kg
	m.count(at, &m.Kilos, net)
	booked := night.Add(-2 * time.Hour)
	if booked.Before(m.opens) {
		booked = m.opens
	}
	m.say(booked, "HL", "book", "load", id, "variety", kind, "booked", at.Format(time.RFC3339))
	m.say(at, "TQ", "load", "load", id, "gross", fmt.Sprintf("%d kg", net+5200), "tare", "5200 kg", "brix",
		19+float64(m.Intn(40))/10, "ph", 3.2, "temp", "16 °C")
	m.say(at.Add(10*time.Minute), "TQ", "tip", "load", id, "to", press)
	m.say(at.Add(38*time.Minute), "TQ", "tipped", "load", id, "to", press)
	for _, v := range []*vessel{tank, tub} {
		m.rinses(v, at.Add(30*time.Minute))
	}
	m.say(at.Add(45*time.Minute), "TQ", "press-start", "press", press, "programme", "soft", "free_run", tank.name,
		"pressings", tub.name)
	m.count(at.Add(2*time.Hour+half), &m.Juice, ran)
	m.count(at.Add(2*time.Hour+50*time.Minute), &m.Juice, pressed)
	m.say(at.Add(2*time.Hour+half), "TQ", "juice", "press", press, "volume", hl(ran), "closed", true)
	m.say(at.Add(2*time.Hour+50*time.Minute), "TQ", "juice", "press", press, "share", "pressings", "volume",
		hl(pressed),
		"end", true, "closed", true)
	m.say(at.Add(3*time.Hour+25*time.Minute), "TQ", "press-free", "press", press)
	m.clears(tank, id, ran, at.Add(2*time.Hour+40*time.Minute))
	m.presses(tub, pressed, at.Add(14*time.Hour))
}

// clears is the juice of a load until it ferments.
func (m *maker) clears(tank *vessel, load string, ran int, at time.Time) {
	m.say(at, "NS", "reading", "vessel", tank.name, "temp", "14 °C")
	m.say(at.Add(5*time.Minute), "NS", "dose", "vessel", tank.name, "product", "E-1", "rate", "2 g/hL", "temp", "14 °C")
	m.say(at.Add(45*time.Minute), "NS", "dose", "vessel", tank.name, "product", "S-1", "rate", "4 g/hL")
	test := at.Add(3*time.Hour + 6*time.Minute)
	if m.Intn(8) == 0 { // the first is still positive
		m.test(tank, test, "large flocs")
		test = test.Add(75 * time.Minute)
	}
	m.test(tank, test, "clear")
	settles := test.Add(20 * time.Minute)
	m.say(settles, "NS", "stage", "vessel", tank.name, "stage", "settling", "target", "9 °C")
	m.say(settles.Add(8*time.Hour), "PL", "reading", "vessel", tank.name, "temp", "9.4 °C", "ntu", 90+m.Intn(60))
	lees, loss := ran*3/100, 1
	home, racked := free(m.ferment, settles.Add(16*time.Hour))
	week := int(racked.Sub(m.opens) / leesWeek)
	m.sunk[week] = sunk{m.sunk[week].volume + lees, soonest(m.sunk[week].from, racked)}
	wine := ran - lees - loss
	m.count(racked, &m.Lost, loss)
	m.rinses(home, racked.Add(-20*time.Minute))
	m.say(racked, "NS", "move", "from", tank.name, "to", raw(`[{"vessel":%q,"volume":%q}]`, home.name, hl(wine)),
		"lees",
		raw(`{"vessel":%q,"volume":%q}`, m.lees[week%2].name, hl(lees)), "loss", hl(loss), "how", "dip")
	tank.free = m.cleans(tank, racked.Add(half))
	m.ferments(home, wine, racked.Add(3*time.Hour))
}

func (m *maker) test(tank *vessel, at time.Time, looks string) {
	m.say(at, "PL", "pectin-test", "vessel", tank.name, "source", "press juice, no enzyme")
	m.say(at.Add(6*time.Minute), "PL", "pectin-test-read", "vessel", tank.name, "tube", tank.name, "sample", looks,
		"control", "flocs")
}

// rinses is a clean vessel rinsed again, which is due after a day.
func (m *maker) rinses(v *vessel, at time.Time) {
	m.clean(v, at)
}

func (m *maker) clean(v *vessel, at time.Time) {
	m.say(at, "NS", "stage", "vessel", v.name, "stage", "empty clean", "steps", []string{"rinsed", "drained",
		"looked into"})
}

func (m *maker) cleans(v *vessel, at time.Time) time.Time {
	m.say(at, "NS", "stage", "vessel", v.name, "stage", "cleaning", "until",
		at.Add(50*time.Minute).Format(time.RFC3339))
	m.clean(v, at.Add(55*time.Minute))
	return at.Add(time.Hour)
}

// ferments is a juice from the yeast until it has left the house.
func (m *maker) ferments(home *vessel, wine int, at time.Time) {
	m.say(at, "NS", "dose", "vessel", home.name, "product", "Y-1", "rate", "20 g/hL", "temp", "16 °C")
	first := at.Truncate(24 * time.Hour).Add(24*time.Hour + 5*time.Hour)
	for d := range 2 * fermDay {
		m.say(first.Add(time.Duration(d)*12*time.Hour), "PL", "reading", "vessel", home.name, "temp",
			fmt.Sprintf("%d °C", 16+d%3), "density", fmt.Sprintf("%.3f", 1.088-0.0047*float64(d)))
	}
	done := first.AddDate(0, 0, fermDay)
	m.say(done, "PL", "stage", "vessel", home.name, "stage", "stored", "reason", "dry")
	if m.Finish && done.After(m.opens.AddDate(0, 0, m.Days)) {
		home.free = m.opens.AddDate(1, 0, 0) // it stands
		return
	}
	home.free = m.cleans(home, m.leaves(home, wine, done.Add(4*time.Hour)))
}

// presses is what becomes of the pressings: they go out the next day.
func (m *maker) presses(tub *vessel, pressed int, at time.Time) {
	tub.free = m.cleans(tub, m.leaves(tub, pressed, at))
}

// leaves is what goes out of the house, by tanker.
func (m *maker) leaves(v *vessel, volume int, at time.Time) time.Time {
	m.count(at, &m.Left, volume)
	m.say(at, "NS", "move", "from", v.name, "out", raw(`{"as":"tanker","volume":%q}`, hl(volume)))
	return at.Add(half)
}
