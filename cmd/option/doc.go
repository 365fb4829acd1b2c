// Package option says what stands on a command line, for every program: what its
// options are, and what is wrong with those that were given.
//
//	pflag.FlagSet ── Help ──> what --help lists
//	pflag's error ── Fault ─> one line that a user reads
//
// Read Help first.
package option
