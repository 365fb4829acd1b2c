// Package ui will be the desk: the window a student works at with a double bass
// in both hands. It draws and judges nothing; what a finding is, and how it
// reads, is decided in piece/finding. Only cmd/endpin-desk will open a window,
// so that everything here is tested without one.
package ui
