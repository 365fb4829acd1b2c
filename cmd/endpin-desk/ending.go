package main

import (
	"os"
	"os/signal"
	"syscall"
	"time"
)

// endsIn is how long a desk that was told to end may take: longer than it waits for the diary.
const endsIn = 15 * time.Second

// endInTime ends a desk that was told to by a signal and does not, or was told twice: now and
// then the toolkit's queue waits for its own loop, which has ended (Fyne 2.7.1). A take is whole
// on disk at every second.
func endInTime() {
	told := make(chan os.Signal, 2)
	signal.Notify(told, os.Interrupt, syscall.SIGTERM)
	go func() {
		<-told
		select {
		case <-told:
		case <-time.After(endsIn):
		}
		os.Exit(0)
	}()
}
