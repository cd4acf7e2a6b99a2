// Package intent lists what a person at the keys can want, one small struct a
// wish. Keys, tests and scripts all end in an intent; screens and overlays act
// on intents and never on keys, which is why a key can be moved without
// touching a screen.
//
// Intents carry no behaviour and name no vessel: what they apply to is what the
// cursor is on. The package knows nothing of keys, screens or the cellar.
package intent
