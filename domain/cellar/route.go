package cellar

import (
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// Route is how a juice is to be cleared.
type Route string

// The two routes of clearing.
const (
	RouteSettle Route = "settle"
	RouteFloat  Route = "float"
)

// stage is the stage in which a route clears the juice.
func (r Route) stage() stage.Stage {
	if r == RouteFloat {
		return stage.Flotation
	}
	return stage.Settling
}

// RouteOf is the route of what is in a vessel: as it was last decided, else as
// its loads were booked, when all of them agree. "" when nobody has said.
func (s *State) RouteOf(v *Vessel) Route {
	c := &v.Now
	if c.Stage.Empty() || !c.Kind.IsJuice() {
		return ""
	}
	if c.route != "" {
		return c.route
	}
	booked := Route("")
	for i, p := range c.Parts {
		l, ok := s.Load(p.Load)
		if !ok {
			return ""
		}
		if i > 0 && l.Route != booked {
			return ""
		}
		booked = l.Route
	}
	return booked
}

// SetRoute decides how a juice is cleared. A change needs a reason.
type SetRoute struct {
	Head
	Vessel TankNumber `json:"vessel"`
	Route  Route      `json:"route"`
	Reason string     `json:"reason,omitempty"`
}

func (c *SetRoute) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	was := d.s.RouteOf(v)
	switch {
	case c.Route != RouteSettle && c.Route != RouteFloat:
		return nil, reject("route", "route", "choose settle or float, not {route:%q}", c.Route)
	case v.Now.Stage.Empty() || !v.Now.Kind.IsJuice():
		return nil, reject("juice", "vessel", "{tank} holds no juice to clear", v.Number)
	case was == c.Route:
		return nil, reject("same", "route", "the route of {tank} is already {was}", v.Number, was)
	case was != "" && c.Reason == "":
		return nil, reject("reason", "reason", "the route of {tank} was {was}; say why it changes", v.Number, was)
	}
	return []Fact{&Routed{Vessel: v.Number, Lot: v.Now.Lot, Route: c.Route, Was: was, Reason: c.Reason}}, nil
}

// Routed is a juice that has a route from now on.
type Routed struct {
	Vessel TankNumber `json:"vessel"`
	Lot    string     `json:"lot"`
	Route  Route      `json:"route"`
	Was    Route      `json:"was,omitempty"`
	Reason string     `json:"reason,omitempty"`
}

func (f *Routed) apply(s *State, r Record) {
	s.enter(r, f)
	says := text.Of("route: {route}", f.Route)
	if f.Was != "" {
		says = text.Of("route: {was} → {route}", f.Was, f.Route)
	}
	s.log(r, vesselRef(f.Vessel), "{what}", text.Join(", ", says, text.Words(f.Reason)))
}

// lines lets the juice that its vessel held then have the route, for as long as it is
// there.
func (f *Routed) lines(s *State, e *entry) []*line {
	if s.vessels[f.Vessel] == nil {
		return nil
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		after := before[0].next()
		after.content = before[0].contents()
		if !e.takenBack() && !after.content.Stage.Empty() {
			after.content.route = f.Route
		}
		return []*holding{after}
	}, place{number: f.Vessel})}
}

var offRouteSays = text.New("off-route",
	"The route of {tank} is {route}; {stage} is the other one.",
	"Change it?")

// offRoute is D08: a juice cleared the other way than its route says. The
// answer's reason is the reason of the change.
func (t *stageTry) offRoute(d *decision) []gate.Finding {
	if t.Stage != stage.Settling && t.Stage != stage.Flotation {
		return nil
	}
	route := d.s.RouteOf(t.of)
	if route == "" || route.stage() == t.Stage || t.of.Now.Stage == stage.Flotation || t.of.Now.Stage == stage.CapRise {
		return nil
	}
	return []gate.Finding{{Field: "stage", Right: gate.Anyone, Reason: true,
		Say: offRouteSays.Say(t.of.Number, route, t.Stage)}}
}

// reroute lets the route follow a stage that was begun the other way.
func (d *decision) reroute(v *Vessel, to stage.Stage, reason string) []Fact {
	route := map[stage.Stage]Route{stage.Settling: RouteSettle, stage.Flotation: RouteFloat}[to]
	was := d.s.RouteOf(v)
	if route == "" || was == "" || was == route {
		return nil
	}
	for _, a := range d.head.Answers {
		if a.Rule == "D08" && a.Reason != "" {
			reason = a.Reason
		}
	}
	return []Fact{&Routed{Vessel: v.Number, Lot: v.Now.Lot, Route: route, Was: was, Reason: reason}}
}

var (
	_ = command[SetRoute]("route")
	_ = fact[Routed]("routed")
)
