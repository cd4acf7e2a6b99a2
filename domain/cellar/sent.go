package cellar

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// Exit is how what a vessel holds leaves the house. It is never a loss: a loss is what
// nobody has any more.
type Exit string

// The ways out of the house, in words of the trade.
const (
	OutBottled   Exit = "bottled"
	OutTanker    Exit = "tanker"
	OutSold      Exit = "sold"
	OutDistilled Exit = "distilled"
	OutLees      Exit = "lees"
)

// Exits lists the ways out, in the order of the form.
func Exits() []Exit { return []Exit{OutBottled, OutTanker, OutSold, OutDistilled, OutLees} }

var exitWords = map[Exit]*text.Text{
	OutBottled:   text.New("exit-bottled", "bottled"),
	OutTanker:    text.New("exit-tanker", "loaded on a tanker"),
	OutSold:      text.New("exit-sold", "sold"),
	OutDistilled: text.New("exit-distilled", "sent to be distilled"),
	OutLees:      text.New("exit-lees", "sent as lees"),
}

// exitLines are what a line of it is called where it is corrected.
var exitLines = map[Exit]*text.Text{
	OutBottled:   text.New("line-bottled", "bottling"),
	OutTanker:    text.New("line-tanker", "tanker load"),
	OutSold:      text.New("line-sold", "sale"),
	OutDistilled: text.New("line-distilled", "load to be distilled"),
	OutLees:      text.New("line-lees", "lees sent out"),
}

func (x Exit) line() text.Say { return said(exitLines, x) }

// say is how it left, behind a volume.
func (x Exit) say() text.Say { return said(exitWords, x) }

func said(of map[Exit]*text.Text, x Exit) text.Say {
	if t := of[x]; t != nil {
		return t.Say()
	}
	return text.Words(string(x)) // of a journal that knows more
}

// Sent is what leaves the house by a move.
type Sent struct {
	As     Exit            `json:"as"`
	Volume quantity.Volume `json:"volume"`
	To     string          `json:"to,omitempty"` // in whose words: a bottling, a plate number, a buyer
}

// SentOff is what left, with its share of every load and every dose.
type SentOff struct {
	Sent
	Parts []Part
	Doses []Dose
}

var (
	sentSays   = text.New("sent", "{volume} {exit}")
	sentToSays = text.New("sent-to", "{volume} {exit} ({to})")
	lineLeft   = text.New("line-left", "{volume} {exit}")
)

// Say is how much left, and how.
func (x *Sent) Say() text.Say {
	if x.To != "" {
		return sentToSays.Say(x.Volume, x.As.say(), x.To)
	}
	return sentSays.Say(x.Volume, x.As.say())
}

func (x *Sent) volume() quantity.Volume {
	if x == nil {
		return 0
	}
	return x.Volume
}

func (x *Sent) tidy() *Sent {
	if x == nil {
		return nil
	}
	return &Sent{x.As, x.Volume, strings.TrimSpace(x.To)}
}

func (x *Sent) check() error {
	switch {
	case x == nil:
		return nil
	case !slices.Contains(Exits(), x.As):
		return reject("out", "out", "type how it leaves the house: bottled, tanker, sold, distilled or lees, not "+
			"{as:%q}", string(x.As))
	case x.Volume <= 0:
		return reject("volume", "out_volume", "how much left the house? Type more than zero")
	}
	return nil
}

func (x *SentOff) doses() []Dose {
	if x == nil {
		return nil
	}
	return x.Doses
}
