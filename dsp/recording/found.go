package recording

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
)

// findFFmpeg is ffmpeg: the one that lies beside the program, as the Windows package
// brings it, or else the system's.
func findFFmpeg() (string, error) {
	if self, err := os.Executable(); err == nil {
		if beside := besideProgram(self, runtime.GOOS); beside != "" {
			return beside, nil
		}
	}
	return exec.LookPath("ffmpeg")
}

// besideProgram is the ffmpeg in a program's folder, or "".
func besideProgram(program, system string) string {
	name := "ffmpeg"
	if system == "windows" {
		name += ".exe"
	}
	name = filepath.Join(filepath.Dir(program), name)
	if info, err := os.Stat(name); err != nil || !info.Mode().IsRegular() {
		return ""
	}
	return name
}
