package classes

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"endpin/cmd/job"
	"endpin/piece/words"
)

// homeFolder holds the pages that may go home, in a class's folder.
const homeFolder = "going home"

// printing is how long the printing of one page may take.
const printing = time.Minute

// Print prints pages as PDF beside them, where Chromium is installed, and says why it did not:
// then the printer of any browser does. pages are files ending in .html.
func Print(ctx context.Context, pages []string) error {
	program := firstOf(browsers(runtime.GOOS, os.Getenv))
	if program == "" {
		return words.Fault("job.class.no-browser")
	}
	own, err := os.MkdirTemp("", "endpin-print-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(own)
	next := make(chan string)
	var mutex sync.Mutex
	var failed error
	var printers sync.WaitGroup
	for i := range min(2, len(pages)) {
		printers.Add(1)
		go func() {
			defer printers.Done()
			for page := range next {
				if err := printOne(ctx, program, filepath.Join(own, string(rune('a'+i))), page); err != nil {
					mutex.Lock()
					failed = err
					mutex.Unlock()
				}
			}
		}()
	}
	for _, p := range pages {
		next <- p
	}
	close(next)
	printers.Wait()
	return failed
}

func printOne(ctx context.Context, program, profile, page string) error {
	full, err := filepath.Abs(page)
	if err != nil {
		return err
	}
	pdf := strings.TrimSuffix(full, ".html") + ".pdf"
	ctx, stop := context.WithTimeout(ctx, printing)
	defer stop()
	args := []string{"--headless", "--disable-gpu", "--no-first-run", "--disable-extensions", "--disable-background-networking", "--no-pdf-header-footer",
		"--user-data-dir=" + profile, "--print-to-pdf=" + pdf + ".part"}
	if os.Geteuid() == 0 { // Chromium refuses to shield root from a page
		args = append(args, "--no-sandbox")
	}
	cmd := exec.CommandContext(ctx, program, append(args, address(full, runtime.GOOS))...)
	cmd.WaitDelay = time.Second
	err = cmd.Run()
	if _, e := os.Stat(pdf + ".part"); e != nil && err == nil {
		err = e
	}
	if err == nil {
		if err = os.Chmod(pdf+".part", 0o600); err == nil {
			err = os.Rename(pdf+".part", pdf)
		}
	}
	if err != nil {
		_ = os.Remove(pdf + ".part")
		return words.Fault("job.class.not-printed", "file", page, "program", filepath.Base(program), "err", job.Cause(err))
	}
	return nil
}

// forgetHome takes the pages out of the folder that goes home that may not, or no longer,
// go: of what Endpin wrote there alone.
func forgetHome(folder string, to *job.Outputs, stay []string) {
	all, _ := os.ReadDir(folder)
	for _, e := range all {
		name := strings.TrimSuffix(strings.TrimSuffix(e.Name(), ".pdf"), ".html")
		if slices.Contains(stay, name) {
			continue
		}
		page := filepath.Join(folder, name+".html")
		if strings.HasSuffix(e.Name(), ".html") && to.Ours(page) {
			_ = os.Remove(page)
			_ = os.Remove(filepath.Join(folder, name+".pdf"))
		}
	}
}
