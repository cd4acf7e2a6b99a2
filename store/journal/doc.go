// Package journal keeps the truth in one bbolt file, and refuses to call a file
// whole that is not.
//
// bbolt keeps its promise about commits, but it takes a file at its word: it
// makes a new store of an empty file, crashes the process on a short one, steps
// back one commit without a word when its newest root is torn, and does not see
// a bit that flipped in a value. What is added here:
//
//   - a journal is created whole or not at all, and only on purpose (Create);
//   - before bbolt maps a file, its pages are looked at with plain reads, and
//     what bbolt does on the mapping runs under a guard (see guard);
//   - records are chained by hash, back to who the journal is (Info), so that an
//     altered record is named and a rehearsal cannot be turned into a real night;
//   - the head, sequence and hash of the last record, is kept in a file beside
//     the journal after each commit, so that an older copy put in its place is
//     told from the journal itself;
//   - the file that was opened is compared with the one at its place before each
//     append, so that nobody writes on into a file that was deleted.
//
// Beside cellar.db stand cellar.db.head (the head), cellar.db.holder (who has it
// open), and cellar.db.pulse (the last sign of life, see Pulse). Only
// cellar.db is the truth; all of the others may be lost.
//
// The package must not know what the facts mean, nor what is shown or done when
// it refuses: it says what it found, wrapped in the sentinels of the port.
package journal
