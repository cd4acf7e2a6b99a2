// Package freeze writes a value as it stands in memory, and all that it points to, and
// makes the same of it again: unexported fields and all, without a list of fields that
// somebody might forget to lengthen. Pointers to one thing are pointers to one thing
// again. What was written can be read by the very same program only.
package freeze
