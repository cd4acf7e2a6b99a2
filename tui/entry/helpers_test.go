package entry_test

import (
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
)

// pressing fills a press and starts its programme.
func (h *house) pressing(press string) {
	h.t.Helper()
	h.lines(`{"do":"load","by":"MA","load":"0409","variety":"Chardonnay","gross":"32900 kg","tare":"12500 kg","answers":[{"rule":"D23"}]}
{"do":"tip","by":"TQ","load":"0409","to":"` + press + `"}
{"do":"tipped","by":"TQ","load":"0409","to":"` + press + `"}
{"do":"press-start","by":"TQ","press":"` + press + `","programme":"W-120","free_run":"103","pressings":"403"}`)
}

func openAs(h *house, kind intent.Form, sub face.Subject) (*entry.Entry, string) {
	return entry.Open(kind, sub, h.look)
}
