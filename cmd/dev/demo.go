package main

import (
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
)

// runDemo builds endpin as anybody can, without cgo, and has it hear the demo
// take. The report goes into the current folder. Where there is a display the desk
// opens after it.
func runDemo(h host, root string) error {
	folder, err := os.MkdirTemp("", "endpin-demo-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	interrupted := make(chan os.Signal, 1) // ends what runs, which then comes back here
	signal.Notify(interrupted, os.Interrupt)
	defer signal.Stop(interrupted)
	program := filepath.Join(folder, "endpin")
	if h.system == "windows" {
		program += ".exe"
	}
	build := step{dir: root, env: []string{"CGO_ENABLED=0"}, args: []string{"go", "build", "-buildvcs=false", "-o", program, "./cmd/endpin"}}
	if err := h.do(build); err != nil {
		return fmt.Errorf("endpin does not build: %w", err)
	}
	if err := h.do(step{args: []string{program, "demo"}}); err != nil {
		return fmt.Errorf("the demo failed: %w", err)
	}
	if !display(h.system, os.Getenv) {
		return nil
	}
	return openDesk(h, root, folder)
}

// openDesk shows the demo piece on the desk, which is built with cgo. What was
// told before stands, whether or not it can be built here.
func openDesk(h host, root, folder string) error {
	program := filepath.Join(folder, "endpin-desk")
	if h.system == "windows" {
		program += ".exe"
	}
	fmt.Fprintln(h.out, "\nNow the desk, a window on the same piece. It is built first, which takes some minutes the first time.")
	build := step{dir: root, args: []string{"go", "build", "-buildvcs=false", "-o", program, "./cmd/endpin-desk"}}
	if err := h.do(build); err != nil {
		fmt.Fprintln(h.out, "\nThe window stays shut: it is built with a C compiler, PortAudio and OpenGL, which go run ./cmd/dev test installs. All that was told above holds without it.")
		return nil
	}
	fmt.Fprintln(h.out, "Press Start in the window. Where there is no microphone the demo take plays in its place. Close the window to come back here.")
	if err := h.do(step{args: []string{program}}); err != nil {
		return fmt.Errorf("the desk failed: %w", err)
	}
	return nil
}

// display reports whether there is a screen to open a window on.
func display(system string, environment func(string) string) bool {
	switch system {
	case "windows", "darwin":
		return true
	}
	return environment("DISPLAY") != "" || environment("WAYLAND_DISPLAY") != ""
}
