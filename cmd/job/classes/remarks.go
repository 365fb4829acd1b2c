package classes

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/cmd/job"
	"endpin/piece/class"
)

// remarksKept holds what a teacher added to a class's pages, in the class's folder.
const remarksKept = "remarks.json"

// RemarksIn reads what a teacher added to the pages in a folder; nothing where there is
// nothing. The error is one line.
func RemarksIn(out string) (*class.Remarks, error) {
	r := &class.Remarks{Version: 1}
	path := filepath.Join(out, classKept, remarksKept)
	data, err := os.ReadFile(path)
	if os.IsNotExist(err) {
		return r, nil
	}
	if err == nil {
		err = json.Unmarshal(data, r)
	}
	if err != nil {
		return nil, job.OfFile(path, job.Cause(err))
	}
	return r, nil
}

// KeepRemarks writes down what a teacher added.
func KeepRemarks(out string, r *class.Remarks) error {
	if err := os.MkdirAll(filepath.Join(out, classKept), 0o700); err != nil {
		return err
	}
	return job.WriteFile(filepath.Join(out, classKept, remarksKept), func(w io.Writer) error { return job.WriteJSON(w, r) })
}

// ReadBack takes in the pages that were saved from a browser with what a teacher added, in a
// class's folder and in other files and folders, and says how many. A page that lies where the new
// one of that student will is put into the folder of what is kept: all of it was read.
func ReadBack(out string, r *class.Remarks, from ...string) (count int, err error) {
	var pages []string
	for _, place := range append([]string{out}, from...) {
		info, err := os.Stat(place)
		switch {
		case err != nil && place == out:
		case err != nil:
			return count, job.OfFile(place, job.Cause(err))
		case !info.IsDir():
			pages = append(pages, place)
		default:
			all, err := os.ReadDir(place)
			if err != nil {
				return count, job.OfFile(place, job.Cause(err))
			}
			for _, e := range all {
				if end := strings.ToLower(filepath.Ext(e.Name())); end == ".html" || end == ".htm" {
					pages = append(pages, filepath.Join(place, e.Name()))
				}
			}
		}
	}
	when := func(path string) int64 {
		if info, err := os.Stat(path); err == nil {
			return info.ModTime().UnixNano()
		}
		return 0
	}
	slices.SortStableFunc(pages, func(a, b string) int { return int(min(1, max(-1, when(a)-when(b)))) })
	for _, path := range pages {
		saved, id := savedIn(path)
		if saved == nil || !saved.Saved {
			continue
		}
		if r.Take(saved, id) {
			count++
		}
		if filepath.Dir(path) == filepath.Clean(out) {
			to := filepath.Join(out, classKept, "read back")
			if os.MkdirAll(to, 0o700) == nil {
				_ = os.Rename(path, filepath.Join(to, id[:8]+" "+filepath.Base(path)))
			}
		}
	}
	return count, nil
}

// largestPage is more than a student's page with its sound, bytes.
const largestPage = 8 << 20

// savedIn is what a page says of itself; nil for another file.
func savedIn(path string) (saved *class.Saved, id string) {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() > largestPage {
		return nil, ""
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, ""
	}
	_, rest, found := bytes.Cut(data, []byte(`id="said">`))
	text, _, ended := bytes.Cut(rest, []byte("</script>"))
	if !found || !ended {
		return nil, ""
	}
	saved = &class.Saved{}
	if json.Unmarshal(text, saved) != nil || saved.Version != 1 {
		return nil, ""
	}
	return saved, job.Digest(data)
}
