package job

import (
	"errors"
	"io/fs"
	"os"

	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// School finds a school by the name of one that comes along, or reads it from a file.
func School(typed string) (fingerboard.School, error) {
	s, unknown := fingerboard.SchoolByName(typed)
	if unknown == nil {
		return s, nil
	}
	data, err := os.ReadFile(typed)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return s, unknown
	case err != nil:
		return s, OfFile(typed, Cause(err))
	}
	if s, err = fingerboard.ReadSchool(data); err != nil {
		return s, words.Fault("job.school", "file", typed, "err", err)
	}
	return s, nil
}
