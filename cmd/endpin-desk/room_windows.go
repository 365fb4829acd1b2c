package main

import (
	"syscall"
	"unsafe"
)

var freeSpace = syscall.NewLazyDLL("kernel32.dll").NewProc("GetDiskFreeSpaceExW")

// freeRoom is how many bytes the user may still write in a folder.
func freeRoom(folder string) (bytes int64, known bool) {
	name, err := syscall.UTF16PtrFromString(folder)
	if err != nil {
		return 0, false
	}
	ok, _, _ := freeSpace.Call(uintptr(unsafe.Pointer(name)), uintptr(unsafe.Pointer(&bytes)), 0, 0)
	return bytes, ok != 0
}
