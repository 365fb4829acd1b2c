//go:build race

package main

// underRace is how much more memory the race detector may take (its own
// documentation says five to ten times).
const underRace = 10.0
