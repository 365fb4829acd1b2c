//go:build !(linux || darwin || freebsd || windows)

package main

// freeRoom is not known here.
func freeRoom(string) (bytes int64, known bool) { return 0, false }
