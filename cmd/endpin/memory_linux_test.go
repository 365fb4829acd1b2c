package main

import (
	"os"
	"syscall"
)

// mostMemory is the largest resident set of a process that has ended, MiB
// (getrusage(2): kibibytes on Linux).
func mostMemory(p *os.ProcessState) float64 {
	return float64(p.SysUsage().(*syscall.Rusage).Maxrss) / 1024
}
