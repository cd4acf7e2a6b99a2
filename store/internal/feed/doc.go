// Package feed hands the records of a journal to readers that follow it, each at
// its own pace.
//
// A feed holds no records. A follower keeps its own place and reads from the
// store; the writer only says that there is more. That is why a follower that
// has stopped reading costs the writer nothing, however long it stays.
//
// It must not know what a store is made of, and never calls back into one while
// it holds a lock.
package feed
