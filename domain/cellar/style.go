package cellar

import (
	"slices"

	"cellar.example/mustwatch/domain/text"
)

// Style is what the grapes of a load are to become: it says how soon they must be pressed.
type Style string

// The styles of a load.
const (
	StyleWhite  Style = "white"
	StyleRose   Style = "rose"        // pressed at once
	StyleBunch  Style = "whole-bunch" // pressed at once, with its stalks
	StyleRed    Style = "red"         // on skins
	StyleThermo Style = "thermo"      // heated first
)

var styleNames = map[Style]string{StyleWhite: "white", StyleRose: "rosé", StyleBunch: "whole bunch", StyleRed: "red",
	StyleThermo: "thermo"}

// Styles lists the styles in the order in which a form offers them.
func Styles() []Style { return []Style{StyleWhite, StyleRose, StyleBunch, StyleRed, StyleThermo} }

// Name is a style as people read it.
func (x Style) Name() string { return firstWords(styleNames[x], string(x)) }

// pressedFresh reports whether its juice comes off the grapes before they ferment, so that warm ones go brown.
func (x Style) pressedFresh() bool { return x == StyleWhite || x == StyleRose || x == StyleBunch }

// Routes lists the routes in the order in which a form offers them.
func Routes() []Route { return []Route{RouteSettle, RouteFloat} }

// Ahead is what a load is for: "white, settle"; "" where nothing was said.
func (l *Load) Ahead() string {
	return text.Join(", ", text.Words(l.Style.Name()), text.Words(string(l.Route))).In(text.Plain{})
}

// checkAhead refuses a style or a route that there is not.
func (l *Load) checkAhead() error {
	if l.Style != "" && !slices.Contains(Styles(), l.Style) {
		return reject("style", "style", "choose white, rose, whole-bunch, red or thermo, not {style:%q}",
			string(l.Style))
	}
	if l.Route != "" && !slices.Contains(Routes(), l.Route) {
		return reject("route", "route", "choose settle or float, not {route:%q}", l.Route)
	}
	return nil
}
