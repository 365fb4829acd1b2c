package main

/*
#include <sys/prctl.h>

// Before Go's own threads begin, so that all have it from here.
__attribute__((constructor)) static void endpin_unhurried(void) {
	prctl(PR_SET_TIMERSLACK, 1000000UL, 0UL, 0UL, 0UL);
}
*/
import "C"

// A wait in this program may end a millisecond late. Linux wakes a thread to 50 µs
// otherwise, and Go's watchman (sysmon) asks for 20 µs each time that anything has
// gone on: three thousand times a second, which cost close on half of what the desk took.
// What must be in time is not told by waits: sound comes by the card's own clock, and
// clicks are mixed at their sample.
