package cellar

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Head is what every command carries beside its own fields.
type Head struct {
	// At is when it was so; zero means now. Not in the future.
	At time.Time `json:"at,omitzero"`
	// Written is when a scripted line became known, for rehearsals; zero = At.
	Written time.Time `json:"saved,omitzero"`
	// By is who says so.
	By Initials `json:"by,omitempty"`
	// Entry is the id that whoever sends the line gives it: the line of paper, a number
	// of a probe. It is kept with what follows from the line.
	Entry string `json:"id,omitempty"`
	// Happened says that it is done already: then it is always written, and the
	// rules it broke are written with it. What was called not yet, what does not
	// add up and what may stand written already is asked about once even so.
	Happened bool `json:"happened,omitempty"`
	// Before and After say of an entry of the same time that this was before or after it.
	Before Seq `json:"before,omitempty"`
	After  Seq `json:"after,omitempty"`
	// Leave gives up what a rule stopped; the near miss is written instead.
	Leave bool `json:"not_done,omitempty"`
	// Same says that it is the very thing that stands written already, only
	// written late by a second person: the two are linked, nothing counts twice.
	Same bool `json:"same,omitempty"`
	// Answers to rules that would otherwise stand in the way.
	Answers []gate.Answer `json:"answers,omitempty"`
}

func (h *Head) head() *Head { return h }

// Command is something a person asks to have written. Fields that a person
// types carry the names of the documented line format as JSON names.
type Command interface {
	head() *Head
	decide(d *decision) ([]Fact, error)
}

// KnownAt is the instant at which a line of a script or a rehearsal became
// known: when it was written, else when it was so, else now.
func KnownAt(c Command, now time.Time) time.Time {
	switch h := c.head(); {
	case !h.Written.IsZero():
		return h.Written
	case !h.At.IsZero():
		return h.At
	}
	return now
}

// HeadOf gives access to the head of a command.
func HeadOf(c Command) *Head { return c.head() }

var commandNames = registry[Command]{}

// command lists a command under its name in the line format, which never changes.
func command[T any, P interface {
	*T
	Command
}](do string) bool {
	return commandNames.list(do, func() Command { return P(new(T)) })
}

// Do is the name of a command in the line format.
func Do(c Command) string { return commandNames.name(c) }

// NewCommand returns an empty command by its name, as a pointer to decode into.
func NewCommand(do string) (Command, bool) { return commandNames.make(do) }

// Rejection says why a command cannot be written as it stands.
type Rejection struct {
	Code  string   // short and stable, for tests and callers
	Field string   // the field where the mistake was made
	Say   text.Say // one sentence for a cellar hand
	With  Seq      // the entry that it does not go together with, where it is that
	voice Voice    // of the house that refuses, for what time it was
}

func (r *Rejection) Error() string {
	if r.Field == "" {
		return r.Message()
	}
	return r.Field + ": " + r.Message()
}

// Message is what is wrong, where, and what to type instead, in one sentence.
func (r *Rejection) Message() string { return r.Say.In(typedIn(r.voice)) }

// typedIn says quantities as they were typed, and instants as the house says them.
type typedIn Voice

// Word implements text.Voice.
func (v typedIn) Word(kind, raw string) string {
	if kind == text.Time && v.s != nil {
		return Voice(v).Word(kind, raw)
	}
	return text.Exact{}.Word(kind, raw)
}

// reject refuses: template is said with the values, in the order of its names.
func reject(code, field, template string, values ...any) error {
	return &Rejection{Code: code, Field: field, Say: text.Of(template, values...)}
}

// Needs says that rules stand in the way and want an answer each.
type Needs struct {
	Findings []gate.Finding
	Voice    text.Voice // of the house that asks
}

// Message is what a finding says, and what an answer to it lacked.
func (n *Needs) Message(f gate.Finding) string {
	if n.Voice == nil {
		return f.Whole().In(text.Exact{})
	}
	return f.Whole().In(n.Voice)
}

func (n *Needs) Error() string {
	msg := ""
	for i, f := range n.Findings {
		if i > 0 {
			msg += " "
		}
		msg += string(f.Rule) + ": " + n.Message(f)
	}
	return msg
}

// Final reports whether no answer can lift what stands in the way.
func (n *Needs) Final() bool {
	for _, f := range n.Findings {
		if f.Right == gate.Nobody {
			return true
		}
	}
	return false
}

// decision is one call of Decide: the state it stands on, the one instant, and
// what the rules found on the way.
type decision struct {
	s       *State
	now     time.Time
	at      time.Time
	head    *Head
	serial  int
	found   []gate.Finding
	lines   []gate.Finding // and on the lines of a batch
	cannots []text.Say     // what cannot have been, and has happened
	subject subject.Ref    // what the rules spoke about
	what    text.Say       // what was being tried, for the near-miss line
	strict  bool           // not even what happened is written against the rules
	turn    int            // where it was said to be among what is of the same instant, 0 for last
	saved   Seq            // of a line of a batch: the last entry that stands
	tubes   bool           // it tells of a test: nobody plans one in the past
	batch   bool           // it is a line of a batch, which is held against the ledger as a whole
	draft   *outlook       // of a correction or a batch: how the cellar would be
}

// maxAhead is how far a typed time may lie ahead of the clock before it counts
// as a time in the future: two clocks in a cellar differ by that much.
const maxAhead = 2 * time.Minute

// Decide turns a command into facts, or says why not. It is pure: the state is
// only read, and now is the only time it knows. All facts of one command share
// one instant. The error is a *Rejection or a *Needs.
func Decide(s *State, c Command, now time.Time) ([]Fact, error) {
	d, facts, err := lay(s, c, now)
	if err == nil {
		facts, err = d.settle(facts)
	}
	if err != nil {
		return nil, inVoiceOf(s.At(now), err)
	}
	return facts, nil
}

// inVoiceOf makes what asks speak in the units, the zone and the names of a house.
func inVoiceOf(v Voice, err error) error {
	var no *Rejection
	if errors.As(err, &no) {
		no.voice = v
	}
	var asks *Needs
	if errors.As(err, &asks) {
		asks.Voice = v
	}
	return err
}

// lay makes the facts of a command and lays them before the rules, without asking for
// the answers.
func lay(s *State, c Command, now time.Time) (*decision, []Fact, error) {
	return layOn(&decision{s: s, now: Instant(now), head: c.head(), serial: s.serial}, c)
}

func layOn(d *decision, c Command) (*decision, []Fact, error) {
	d.at = Instant(d.head.At)
	if d.head.At.IsZero() {
		d.at = d.now
	}
	if d.at.Sub(d.now) > maxAhead {
		return nil, nil, reject("future", "at", "{time} is later than now ({now}); type the time it happened",
			d.says(d.at), d.says(d.now))
	}
	if err := d.sealed(); err != nil {
		return nil, nil, err
	}
	if err := d.person(c); err != nil {
		return nil, nil, err
	}
	return d.inTurn(c)
}

// tries decides a command in the turn that the decision has.
func (d *decision) tries(c Command) ([]Fact, error) {
	facts, err := c.decide(d)
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(facts, ofContents) {
		if err := d.opened(d.at, "at"); err != nil {
			return nil, err
		}
	}
	if err := d.bounded(facts); err != nil {
		return nil, err
	}
	facts = append(facts, d.ticks(facts)...)
	return append(facts, d.acts(facts)...), nil
}

// ofContents reports whether a fact says something of what vessels and presses hold. A
// load may have come, a tub been opened and a vessel been held before there was a board.
func ofContents(f Fact) bool {
	switch f.(type) {
	case *LoadBooked, *LoadCancelled, *LoadWeighed, *LotEnded,
		*ProductBooked, *TubOpened, *StockCounted, *WasHeld, *ReleaserNamed, *WasReleased:
		return false
	}
	_, flows := f.(flower)
	return flows
}

// opened refuses a time at which the ledger knows nothing of what was where.
func (d *decision) opened(at time.Time, field string) error {
	s := d.s
	if s.Opened.IsZero() || !at.Before(s.Opened) {
		return nil
	}
	return reject("opening", field, "{time} is before the opening ({opening}): correct it in the opening (x)",
		d.saysDay(at), d.saysDay(s.Opened))
}

// person checks who writes. Before a house is set there is nobody to check.
func (d *decision) person(c Command) error {
	if _, alone := c.(byMachine); alone && d.head.By == "" || len(d.s.House.People) == 0 {
		return nil
	}
	if d.head.By == "" {
		return reject("who", "by", "type the initials of the person")
	}
	if _, ok := d.s.House.Person(d.head.By); !ok {
		return reject("who", "by", "{who} is not on the list of people; choose from {initials}", d.head.By,
			d.s.House.initialsList())
	}
	return nil
}

// settle holds the answers against what the rules found.
func (d *decision) settle(facts []Fact) ([]Fact, error) {
	if d.head.Same {
		return d.same()
	}
	if len(d.found) == 0 {
		return facts, nil
	}
	if d.head.Leave {
		f := d.found[0]
		return []Fact{&Stopped{Subject: d.subject, What: d.what, Rule: f.Rule, Why: f.Say}}, nil
	}
	if err := d.named(); err != nil {
		return nil, err
	}
	done, open := gate.Settle(d.found, d.head.Answers, string(d.head.By), d.s.may)
	if len(open) > 0 && (d.strict || !d.head.Happened) {
		return nil, &Needs{Findings: open}
	}
	if ask := d.unasked(open); len(ask) > 0 {
		return nil, &Needs{Findings: ask}
	}
	for _, a := range done {
		x := d.answerTo(a.Finding)
		x.By, x.Second, x.Reason = Initials(a.Answer.By), Initials(a.Answer.Second), a.Answer.Reason
		facts = append(facts, x)
	}
	for _, f := range open {
		x := d.answerTo(f)
		x.By, x.Broken = d.head.By, true
		facts = append(facts, x)
	}
	return facts, nil
}

// answerTo is an answer to a finding, as it is kept.
func (d *decision) answerTo(f gate.Finding) *RuleAnswered {
	return &RuleAnswered{Subject: d.subject, What: d.what, Rule: f.Rule, Of: f.Of, Field: f.Field, Stop: f.Stop(),
		Said: f.Say}
}

// named refuses answers in the name of somebody whom nobody knows.
func (d *decision) named() error {
	for _, a := range d.head.Answers {
		for _, who := range []Initials{Initials(a.By), Initials(a.Second)} {
			if _, known := d.s.House.Person(who); who != "" && !known && len(d.s.House.People) > 0 {
				return reject("who", "answers", "{rule} is answered by {who:%q}, who is not on the list of people; "+
					"choose from {initials}", a.Rule, who, d.s.House.initialsList())
			}
		}
	}
	return nil
}

// id gives the next name of a thing made by this decision.
func (d *decision) id(prefix string) string {
	d.serial++
	return fmt.Sprintf("%s%d", prefix, d.serial)
}

// find keeps what speaks against what is being tried. What says of nothing in
// particular that it is about that is about the subject of the decision.
func (d *decision) find(found ...gate.Finding) {
	for _, f := range found {
		if f.Of.IsZero() {
			f.Of = d.subject
		}
		d.found = append(d.found, f)
	}
}

// ask runs a table of rules over what is being tried and keeps what it finds.
func ask[T any](d *decision, rules table[T], try T) {
	d.find(rules.Ask(try, d)...)
}

// Records turns the facts of one decision into records ready for a journal.
func Records(c Command, facts []Fact, now time.Time, station string) []Record {
	h := c.head()
	at := Instant(h.At)
	if h.At.IsZero() {
		at = Instant(now)
	}
	out := make([]Record, len(facts))
	for i, f := range facts {
		out[i] = Record{At: at, Written: Instant(now), By: h.By, Station: station, Entry: h.Entry, Fact: bare(f)}
		if x, ok := f.(*spoken); ok { // a line of a batch has its own
			out[i].By, out[i].Entry = x.head.By, x.head.Entry
			if out[i].At = Instant(x.head.At); x.head.At.IsZero() {
				out[i].At = Instant(now)
			}
			if out[i].Turn = x.turn; !x.at.IsZero() {
				out[i].At = x.at
			}
		}
	}
	return out
}

// Instant brings a time to what the journal keeps: UTC, whole seconds, without
// the monotonic part.
func Instant(t time.Time) time.Time { return t.UTC().Truncate(time.Second) }
