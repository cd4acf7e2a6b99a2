// Package keys turns key presses into intents by looking them up in tables. A
// table is the only place that knows a key: the footer, the help overlay, the
// printed key sheet and the collision test are all made from it, so none of
// them can promise a key that does something else.
//
// A screen owns its table and puts Common behind it. The package knows no
// screen and does nothing itself.
package keys
