package job

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// largestHearing is more than the JSON of an hour's take, bytes.
const largestHearing = 64 << 20

// ReferenceIn reads the reference A that was heard in another take, from the JSON that
// was written of it.
func ReferenceIn(path string) (finding.Reference, error) {
	var none finding.Reference
	file, err := os.Open(path)
	if err != nil {
		return none, OfFile(path, Cause(err))
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return none, words.Fault("job.reference.none", "file", path)
	}
	data, err := io.ReadAll(io.LimitReader(file, largestHearing))
	if err != nil {
		return none, OfFile(path, Cause(err))
	}
	var h finding.Hearing
	if json.Unmarshal(data, &h) != nil || h.Version == 0 || h.HeardA < finding.LowestA4 || h.HeardA > finding.HighestA4 {
		return none, words.Fault("job.reference.none", "file", path)
	}
	if h.HeardATrust != dsp.Sure && h.HeardATrust != dsp.Fair {
		return none, words.Fault("job.reference.unsure", "file", path)
	}
	from := h.Recording
	if from == "" {
		from = filepath.Base(path)
	}
	return finding.Reference{A4: h.HeardA, SD: h.HeardASD, From: from}, nil
}
