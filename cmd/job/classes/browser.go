package classes

import (
	"net/url"
	"os/exec"
	"path/filepath"
	"strings"
)

// browsers are those that print a page as PDF, each Chromium under one of its names: by a name
// on PATH, or where a system has them and no PATH names them (where Chrome's and Edge's own
// installers put them; from memory, as neither system was there). Every Windows since 10 has Edge.
func browsers(system string, env func(string) string) (all []string) {
	below := func(folder string, names ...string) {
		for _, name := range names {
			if folder != "" {
				all = append(all, filepath.Join(folder, filepath.FromSlash(name)))
			}
		}
	}
	switch system {
	case "windows":
		for _, folder := range []string{"ProgramFiles", "ProgramFiles(x86)", "LocalAppData"} {
			below(env(folder), "Chromium/Application/chrome.exe", "Google/Chrome/Application/chrome.exe", "Microsoft/Edge/Application/msedge.exe")
		}
	case "darwin":
		for _, folder := range []string{"/Applications", filepath.Join(env("HOME"), "Applications")} {
			below(folder, "Chromium.app/Contents/MacOS/Chromium", "Google Chrome.app/Contents/MacOS/Google Chrome", "Microsoft Edge.app/Contents/MacOS/Microsoft Edge")
		}
	}
	return append([]string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge", "msedge"}, all...)
}

// firstOf is the first that is there, or "".
func firstOf(all []string) string {
	for _, name := range all {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// address is a file's, as a browser takes it: file:///C:/pages/ada.html.
func address(full, system string) string {
	if system == "windows" {
		full = strings.ReplaceAll(full, "\\", "/")
		if host, path, is := strings.Cut(strings.TrimPrefix(full, "//"), "/"); is && strings.HasPrefix(full, "//") {
			return (&url.URL{Scheme: "file", Host: host, Path: "/" + path}).String() // a folder of another computer's
		}
		full = "/" + full
	}
	return (&url.URL{Scheme: "file", Path: full}).String()
}
