package entry

import (
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/widget"
)

// wayOut asks how what is moved leaves the house, if it does: proposed as it was said when
// the pump was started.
func (k *desk) wayOut(was cellar.Sent) []widget.Field {
	labels := map[cellar.Exit]struct {
		key   rune
		label string
	}{
		cellar.OutBottled: {'b', "bottled"}, cellar.OutTanker: {'t', "loaded on a tanker"},
		cellar.OutSold: {'s', "sold"}, cellar.OutDistilled: {'d', "sent to be distilled"},
		cellar.OutLees: {'l', "sent as lees"}}
	how := widget.Field{Name: "out", Label: "Out of the house", Optional: true, Value: string(was.As),
		Hint: "blank: it stays in the house"}
	for _, x := range cellar.Exits() {
		how.Choices = append(how.Choices, widget.Choice{Key: labels[x].key, Label: labels[x].label, Value: string(x)})
	}
	leaves := func(v map[string]string) bool { return v["out"] != "" && v["to"] == "" }
	volume, to := k.volume("out_volume", "Volume out", ""), words("out_to", "For whom", "optional")
	if was.Volume != 0 {
		volume.Value, volume.Origin = bare(k.look(), was.Volume), "planned at the start"
	}
	to.Value = was.To
	none := func(v map[string]string) bool { return v["to"] == "" } // both are two moves
	return []widget.Field{where(how, none), where(volume, leaves), where(to, leaves)}
}

// sent is what leaves the house, nil where nothing does.
func (s *slip) sent() *cellar.Sent {
	as := cellar.Exit(s.text("out"))
	if as == "" {
		return nil
	}
	x := &cellar.Sent{As: as, Volume: s.shown("out_volume"), To: s.text("out_to")}
	if x.Volume <= 0 && s.err == nil {
		s.fail("out_volume", refuse("", "type how much leaves the house"))
	}
	return x
}
