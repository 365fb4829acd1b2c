package notation

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// unpack finds the score in a compressed MusicXML file: META-INF/container.xml
// names it in its first rootfile (MusicXML 4.0, "Compressed .mxl files").
// Where the container is missing, the only score at the top is taken.
func unpack(data []byte) ([]byte, error) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, errors.New("the compressed file is damaged: export it again")
	}
	root := ""
	for _, f := range archive.File {
		if f.Name == "META-INF/container.xml" {
			container, err := unzip(f)
			if err != nil {
				return nil, err
			}
			if root, err = rootfile(container); err != nil {
				return nil, err
			}
		}
	}
	if strings.Contains(root, "\\") || path.IsAbs(root) || root != "" && !inside(root) {
		return nil, fmt.Errorf("its container points outside the file (%q): export it again", root)
	}
	for _, f := range archive.File {
		if root != "" && path.Clean(f.Name) == path.Clean(root) || root == "" && isScore(f.Name) {
			return unzip(f)
		}
	}
	if root != "" {
		return nil, fmt.Errorf("its container names %q, which is not in it: export it again", root)
	}
	return nil, errors.New("a zip file without a score in it: export the piece as MusicXML")
}

// inside reports whether a path stays within the archive.
func inside(name string) bool {
	clean := path.Clean(name)
	return clean != ".." && !strings.HasPrefix(clean, "../")
}

func isScore(name string) bool {
	if strings.HasPrefix(name, "META-INF/") {
		return false
	}
	ext := strings.ToLower(path.Ext(name))
	return ext == ".xml" || ext == ".musicxml"
}

// unzip reads one file of the archive and no more than maxFile of it,
// whatever its header promises.
func unzip(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("%q in it cannot be opened: export it again", f.Name)
	}
	defer r.Close()
	content, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, fmt.Errorf("%q in it is damaged: export it again", f.Name)
	}
	if len(content) > maxFile {
		return nil, fmt.Errorf("%q in it unpacks to more than %d MB: save the bass part alone", f.Name, maxFile>>20)
	}
	return content, nil
}

// rootfile gives the path of the score that the container names first.
func rootfile(container []byte) (string, error) {
	text, err := decode(container)
	if err != nil {
		return "", err
	}
	if longTag(text) || tooDeep(text) {
		return "", errors.New("its container is damaged: export it again")
	}
	tree, err := parseXML(text)
	if err != nil {
		return "", errors.New("its container is damaged: export it again")
	}
	for _, f := range tree.child("rootfiles").all("rootfile") {
		kind := f.attr("media-type")
		if kind == "" || strings.Contains(kind, "musicxml") {
			return f.attr("full-path"), nil
		}
	}
	return "", nil
}
