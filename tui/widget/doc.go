// Package widget holds the parts that faces are put together from: a form, a
// list, a panel, a question that is answered with a number, and rows in columns.
//
// A widget keeps what a person is in the middle of, a cursor or half a word, and
// nothing of the cellar. It is handed keys and intents, hands intents back up
// when it cannot act itself, and draws exactly the box it is given. It reads no
// clock, starts no command and imports no screen.
package widget
