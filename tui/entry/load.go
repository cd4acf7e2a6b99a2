package entry

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/room"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

func openLoad(k *desk) (*Entry, string) {
	g := k.look()
	l, ok := g.State.Load(k.sub.Load)
	switch {
	case ok && (l.State == cellar.LoadExpected || l.Arrived.IsZero()): // its ticket may come when it has been tipped
		return k.weigh(l), ""
	case ok && l.State == cellar.LoadWaiting:
		return k.tip(l), ""
	case ok && l.State == cellar.LoadTipping:
		return k.tipped(l), ""
	}
	return k.weigh(nil), ""
}

// weigh takes a load in at the weighbridge, or books one that has no weight yet.
func (k *desk) weigh(l *cellar.Load) *Entry {
	g := k.look()
	title := "New load"
	number := widget.Field{Name: "load", Label: "Load", Kind: widget.Code, Width: 8, Limit: 12}
	variety := must(words("variety", "Variety", ""))
	pick, to := words("pick", "Picked", "hand, machine"), k.tank("to", "To", "press or tank")
	style, route := styles(), clearings()
	variety.Width, pick.Width = 24, 24
	if l != nil {
		if title = say(g, "Load {load} {variety}, expected {time}", l.ID, l.Variety,
			clock(g, l.Booked)); l.State == cellar.LoadTipping {
			title = strings.TrimSpace("Load "+string(l.ID)+" "+l.Variety) + ", tipped: what did it weigh?"
		}
		number.Value, number.Origin = string(l.ID), "as booked"
		for f, v := range map[*widget.Field]string{&variety: l.Variety, &pick: l.Pick, &style: string(l.Style),
			&route: string(l.Route), &to: l.To} {
			if f.Value = v; v != "" {
				f.Origin = "as booked"
			}
		}
	} else {
		number.Value, number.Origin = nextLoad(g.State), "next number"
		if due := dueLoad(g); due != nil {
			number.Value, number.Origin = string(due.ID), "booked "+clock(g, due.Booked)
		}
		k.follow = k.followLoad
	}
	figures := []widget.Field{
		k.grapes("gross", "Gross", "blank = only book it"),
		where(k.grapes("tare", "Tare", ""), weighed),
		where(k.temp(""), weighed),
		where(k.meter("brix", "Sugar", "°Brix", func(s *slip) { meter(s, "brix", brix) }), weighed),
		where(k.meter("ph", "pH", "", func(s *slip) { meter(s, "ph", acid) }), weighed),
		where(k.meter("rot", "Rot", "%", func(s *slip) { meter(s, "rot", share) }), weighed),
	}
	fields := append([]widget.Field{number, variety}, figures...)
	if l != nil {
		fields = append(append([]widget.Field{}, figures...), number, variety)
	}
	trailer := where(widget.Field{Name: "trailer", Label: "Trailer", Kind: widget.Code, Width: 8, Limit: 12,
		Hint: "its number; the board remembers its tare", Optional: true}, weighed)
	grower := words("grower", "Grower", "if two growers bring the same variety")
	grower.Width = 24
	if l != nil && l.Grower != "" {
		grower.Value, grower.Origin = l.Grower, "as booked"
	}
	unweighed := func(v map[string]string) bool { return !weighed(v) }
	fields = append(fields, trailer, pick, style, route, to,
		where(k.ahead("booked", "Expected", "when"), unweighed),
		where(k.when(), weighed), grower)
	if l != nil && l.State == cellar.LoadExpected {
		fields = append(fields, where(words("reason", "Cancel it", "if it does not come: the reason"), unweighed))
	}
	e := k.entry(title, fields...)
	k.warns(truck)
	e.Command = k.loadCommand
	e.Form.Live = k.loadLines
	return e
}

// cancelLoad asks why a load that is expected does not come.
func (k *desk) cancelLoad(l *cellar.Load) *Entry {
	e := k.entry(say(k.look(), "Cancel the booking of load {load}", l.ID), must(words("reason", "Reason", "")))
	e.Key = " cancel"
	e.Form.Verb = "cancel it"
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		return s.done(&cellar.CancelLoad{Head: s.head(), Load: l.ID, Reason: s.text("reason")})
	}
	return e
}

// styles asks what the grapes are to become.
func styles() widget.Field {
	f := widget.Field{Name: "style", Label: "Style", Optional: true}
	for _, x := range cellar.Styles() {
		f.Choices = append(f.Choices, widget.Choice{Label: x.Name(), Value: string(x)})
	}
	return f
}

// clearings asks how the juice is to be cleared.
func clearings() widget.Field {
	f := widget.Field{Name: "route", Label: "Route", Optional: true}
	for _, r := range cellar.Routes() {
		f.Choices = append(f.Choices, widget.Choice{Label: string(r), Value: string(r)})
	}
	return f
}

func truck(map[string]string) []caution.Code { return []caution.Code{caution.Truck} }

func (k *desk) meter(name, label, unit string, read func(s *slip)) widget.Field {
	return widget.Field{Name: name, Label: label, Unit: unit, Kind: widget.Figure, Optional: true,
		Validate: k.reads(name, read)}
}

func weighed(values map[string]string) bool { return values["gross"] != "" }

// dueLoad is the load that is expected next, late or within half an hour, nil for
// none: it is most likely the one at the gate.
func dueLoad(g face.Sight) (next *cellar.Load) {
	for _, l := range g.State.Loads {
		if l.State == cellar.LoadExpected && !l.Booked.IsZero() && !l.Overdue(g.Now) &&
			l.Booked.Sub(g.Now) <= 30*time.Minute &&
			(next == nil || l.Booked.Before(next.Booked)) {
			next = l
		}
	}
	return next
}

// followLoad proposes what was booked of the load whose number stands there.
func (k *desk) followLoad(values map[string]string) {
	l, ok := k.look().State.Load(cellar.LoadID(strings.ToUpper(strings.TrimSpace(values["load"]))))
	if !ok || l.State != cellar.LoadExpected {
		l = &cellar.Load{}
	}
	for field, v := range map[string]string{"variety": l.Variety, "pick": l.Pick, "style": string(l.Style),
		"route": string(l.Route), "to": l.To, "grower": l.Grower} {
		k.offer(field, v, "as booked")
	}
}

// nextLoad is the number after the highest of the season, in as many digits.
func nextLoad(s *cellar.State) string {
	best, width := 0, 4
	for _, l := range s.Loads {
		if n, err := strconv.Atoi(string(l.ID)); err == nil && n > best {
			best, width = n, len(l.ID)
		}
	}
	if best == 0 {
		return ""
	}
	return fmt.Sprintf("%0*d", width, best+1)
}

func (k *desk) loadCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	l := cellar.Load{ID: cellar.LoadID(strings.ToUpper(s.text("load"))), Variety: s.text("variety"),
		Pick: s.text("pick"), Style: cellar.Style(s.text("style")), Route: cellar.Route(s.text("route")),
		To: strings.ToUpper(s.text("to")), Grower: s.text("grower")}
	if l.To != "" {
		s.fail("to", k.knows(cellar.TankNumber(l.To)))
	}
	if reason := s.text("reason"); reason != "" && !weighed(values) {
		return s.done(&cellar.CancelLoad{Head: s.head(), Load: l.ID, Reason: reason})
	}
	if !weighed(values) {
		l.Booked = s.ahead("booked")
		if l.Booked.IsZero() && s.err == nil {
			s.fail("gross", refuse("", "type the gross weight; to only book it, type when it is expected"))
		}
		return s.done(&cellar.BookLoad{Head: s.head(), Load: l})
	}
	l.Trailer = strings.ToUpper(s.text("trailer"))
	l.Gross, l.Tare, l.Temp = s.grapes("gross"), s.grapes("tare"), orZero(s.celsius("temp"))
	l.Brix, l.PH, l.Rot = orZero(meter(s, "brix", brix)), orZero(meter(s, "ph", acid)), orZero(meter(s, "rot", share))
	return s.done(&cellar.WeighLoad{Head: s.head(), Load: l})
}

// loadLines say the net weight and where it can go: the presses that are or come
// free, and the vessels that take its juice.
func (k *desk) loadLines(values map[string]string) []string {
	s := k.slip(values)
	gross, tare := s.grapes("gross"), s.grapes("tare")
	if gross == 0 || tare == 0 {
		return s.planLine(0)
	}
	net := gross - tare
	if net <= 0 {
		return []string{"the gross weight is not above the tare: are the two swapped?"}
	}
	lines := append([]string{s.g.Theme.Strong.Render("net " + net.Text(s.g.Units()))}, s.planLine(net)...)
	if last, ok := s.g.State.LastTare(s.text("trailer")); ok {
		lines = append(lines, say(s.g, "trailer {trailer} weighed {tare} empty with load {load}", last.Trailer,
			last.Tare, last.ID))
	}
	if v, ok := s.g.State.Vessel(cellar.TankNumber(strings.ToUpper(s.text("to")))); ok {
		return append(lines, say(s.g, "{tank}: {use}", v.Number, k.destination(v.Number)))
	}
	lines = append(lines, pressRoom(s.g, net)...)
	fraction := quantity.HL(s.g.State.House.Limits.PressFraction * net.Tonnes())
	return append(lines, juiceRoom(s.g, room.Wanted{Share: cellar.ShareMain, Variety: s.text("variety")}),
		juiceRoom(s.g, room.Wanted{Share: cellar.ShareFraction, Variety: s.text("variety"), Volume: fraction}))
}

// juiceRoom says which vessels take juice: what the sheet says of juice without a tank.
func juiceRoom(g face.Sight, w room.Wanted) string {
	what := "free run"
	if w.Share == cellar.ShareFraction {
		what = "pressings about " + vol(g, w.Volume)
	}
	return what + " · " + room.Say(g.State, w)
}

// planLine is what of the load's variety has come against what is booked, with the
// load once it has a weight.
func (s *slip) planLine(net quantity.Mass) []string {
	l := cellar.Load{ID: cellar.LoadID(strings.ToUpper(s.text("load"))), Variety: s.text("variety"),
		Grower: s.text("grower"), Net: net}
	x, ok := s.g.State.IntakeWith(l, s.g.Now)
	if !ok || l.Variety == "" {
		return nil
	}
	lead := "in so far: "
	if net > 0 {
		lead = "with this load: "
	}
	return []string{lead + x.Says(s.g.Units())}
}

// shareOf is a load as a share of what a press takes.
func shareOf(m, rated quantity.Mass) quantity.Percent {
	return quantity.Percent(100 * float64(m) / float64(max(rated, 1)))
}

// pressRoom lists how full each press would be.
func pressRoom(g face.Sight, net quantity.Mass) []string {
	var can, not string
	for _, p := range g.State.Presses() {
		total := net
		if p.State == cellar.PressFilling || p.State == cellar.PressFull {
			total += p.Mass()
		}
		share, _ := shareOf(total, p.Rated).Beside(100)
		text := fmt.Sprintf("  %s %s", p.Number, share)
		if total > max(p.Rated, p.WholeBunch) {
			not += text
			continue
		}
		switch p.State {
		case cellar.PressReady:
			text += " ready"
		case cellar.PressRunning:
			text += " free from " + clock(g, p.End.Add(p.Empty.Duration()))
		default:
			text += " " + string(p.State)
		}
		can += text
	}
	var out []string
	if can != "" {
		out = append(out, "fits"+can)
	}
	if not != "" {
		out = append(out, "too much for"+not)
	}
	return out
}
