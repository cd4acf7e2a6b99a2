package tui

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/overlay"
)

// missed lists what came due between from and now while nobody looked, each with
// its lateness, and the machines that ran. It takes no key: the first one closes
// it.
func (r *Root) missed(why string, from time.Time) {
	due := r.state.CameDue(from, r.now)
	lines := []string{r.summary(why, from, due), ""}
	for _, c := range due {
		lines = append(lines, r.missedLine(c))
	}
	for i, p := range r.state.RanAt(from) {
		if i == 0 {
			lines = append(lines, "")
		}
		text := r.words("{press} was {state} with {content}: check if it still is.", p.Number, string(p.State),
			p.Name())
		if p.Stood {
			text = r.words("{press} stopped at {time}: {why}.", p.Number, p.Since, p.Why)
		}
		lines = append(lines, text)
	}
	lines = append(lines, "", "After a power cut: count heads, run fans before anyone goes near a pit, walk each "+
		"machine before it restarts.")
	r.over = append(r.over, overlay.NewText("While nobody looked, "+face.Length(r.now.Sub(from)), lines))
}

// missedLine is one thing that came due: when, what, how late it is by now, whose.
func (r *Root) missedLine(c *cellar.AlarmClock) string {
	late := face.Late(r.now.Sub(c.Due))
	if c.DueKind == cellar.NotBefore {
		late = "can now"
	}
	return fmt.Sprintf("%6s  %-8s %-14s %-10s %s", face.Clock(c.Due, r.now, r.state.Zone()), r.state.NameOf(c.Subject),
		c.Says(), late, c.Owner)
}

// from is a stretch of time up to now: "01:17-01:52".
func (r *Root) from(t time.Time) string {
	zone := r.state.Zone()
	return face.Clock(t, r.now, zone) + "-" + face.Clock(r.now, r.now, zone)
}

// summary is the whole list in one sentence, for whoever reads no further:
// "Away 01:17-01:52: 108 due 01:50, 2 min late; P2 and P4 were running."
func (r *Root) summary(why string, from time.Time, due []*cellar.AlarmClock) string {
	var dues, ran, filled []string
	for _, c := range due {
		if c.DueKind == cellar.NotBefore {
			continue
		}
		if len(dues) == 3 {
			dues = append(dues, "more below")
			break
		}
		dues = append(dues, r.words("{what} due {time}, {late}", r.state.NameOf(c.Subject), c.Due,
			face.Late(r.now.Sub(c.Due))))
	}
	if len(dues) == 0 {
		dues = []string{"nothing came due"}
	}
	for _, p := range r.state.RanAt(from) {
		if p.Filling {
			filled = append(filled, string(p.Number))
		} else {
			ran = append(ran, string(p.Number))
		}
	}
	text := fmt.Sprintf("%s %s: %s", why, r.from(from), strings.Join(dues, "; "))
	return text + were(ran, "running") + were(filled, "filling") + "."
}

// were is a part of a sentence: "; P2 and P4 were running".
func were(numbers []string, what string) string {
	switch n := len(numbers); n {
	case 0:
		return ""
	case 1:
		return "; " + numbers[0] + " was " + what
	default:
		return "; " + strings.Join(numbers[:n-1], ", ") + " and " + numbers[n-1] + " were " + what
	}
}
