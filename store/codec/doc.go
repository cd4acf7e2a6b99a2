// Package codec turns a record into the bytes a journal keeps, and back.
//
// A record is one JSON object on one line, so that a person with nothing but a
// pager can still read a night. Its last member is a hash over the hash of the
// record before and over every byte in front of it: one altered bit anywhere
// breaks the chain at that record and at no earlier one.
//
// What may never change, because older programs must be able to tell "newer"
// from "damaged": the seal (see Seal) and the members v, kind and seq.
//
// The package knows the facts of the cellar by name only. It must not know where
// bytes are kept, read a clock, or decide what is done about a record that it
// cannot read.
package codec
