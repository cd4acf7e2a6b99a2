// Package theme says how each meaning looks: overdue, due soon, held, a field,
// a key. Faces name the meaning and never a colour.
//
// A theme is built on the renderer of one session, because two people may look
// at the same board from two terminals with different abilities; nothing here
// lives at package level, and nothing asks the terminal what its background is
// (a terminal that stays silent would stall the start). Dark or light is a
// setting.
//
// Colour is always the fourth way of saying a thing, after place, word and
// shape. With no colours at all a theme adds nothing, and the board must still
// be complete. The package knows no screen and no rule of the cellar.
package theme
