package notation

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"strings"

	"endpin/piece/words"
)

// unpack finds the score in a compressed MusicXML file: META-INF/container.xml
// names it in its first rootfile (MusicXML 4.0, "Compressed .mxl files").
// Where the container is missing, the only score at the top is taken.
func unpack(data []byte) ([]byte, error) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, words.Fault("notation.mxl.damaged")
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
		return nil, words.Fault("notation.mxl.outside", "path", words.Quoted(root))
	}
	for _, f := range archive.File {
		if root != "" && path.Clean(f.Name) == path.Clean(root) || root == "" && isScore(f.Name) {
			return unzip(f)
		}
	}
	if root != "" {
		return nil, words.Fault("notation.mxl.absent", "path", words.Quoted(root))
	}
	return nil, words.Fault("notation.mxl.no-score")
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
		return nil, words.Fault("notation.mxl.closed", "file", words.Quoted(f.Name))
	}
	defer r.Close()
	content, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, words.Fault("notation.mxl.damaged-inside", "file", words.Quoted(f.Name))
	}
	if len(content) > maxFile {
		return nil, words.Fault("notation.mxl.too-large", "file", words.Quoted(f.Name), "mb", maxFile>>20)
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
		return "", words.Fault("notation.mxl.container")
	}
	tree, err := parseXML(text)
	if err != nil {
		return "", words.Fault("notation.mxl.container")
	}
	for _, f := range tree.child("rootfiles").all("rootfile") {
		kind := f.attr("media-type")
		if kind == "" || strings.Contains(kind, "musicxml") {
			return f.attr("full-path"), nil
		}
	}
	return "", nil
}
