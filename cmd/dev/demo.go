package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// runDemo builds endpin as anybody can, without cgo, and has it hear the demo
// take. The report goes into the current folder.
func runDemo(h host, root string) error {
	folder, err := os.MkdirTemp("", "endpin-demo-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
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
	return nil
}
