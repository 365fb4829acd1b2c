//go:build linux || darwin || freebsd

package main

import "syscall"

// freeRoom is how many bytes the user may still write in a folder (statfs(2)).
func freeRoom(folder string) (bytes int64, known bool) {
	var is syscall.Statfs_t
	if err := syscall.Statfs(folder, &is); err != nil {
		return 0, false
	}
	return int64(is.Bavail) * int64(is.Bsize), true
}
