package diary

import (
	"encoding/json"
	"errors"
	"strconv"
	"strings"
)

var errLists = errors.New("it is no list")

// lists reads {"field":[…],"field":[…]} and hands each list over by its field:
// most of a month's opening is this, and encoding/json takes eight times as long
// over it. What it meets is what json.Marshal or SQLite wrote, numbers and
// strings; all else is an error.
func lists(text string, take func(field string, list string) error) error {
	s := strings.TrimSpace(text)
	if len(s) < 2 || s[0] != '{' || s[len(s)-1] != '}' {
		return errLists
	}
	for s = s[1 : len(s)-1]; len(s) > 0; {
		name := strings.IndexByte(s[1:], '"')
		if s[0] != '"' || name < 0 {
			return errLists
		}
		field := s[1 : 1+name]
		s = s[name+2:]
		var list string
		switch {
		case strings.HasPrefix(s, ":null"):
			s = s[len(":null"):]
		case strings.HasPrefix(s, ":["):
			end := closing(s)
			if end < 0 {
				return errLists
			}
			list, s = s[2:end], s[end+1:]
		default:
			return errLists
		}
		if err := take(field, list); err != nil {
			return err
		}
		if len(s) > 0 {
			if s[0] != ',' || len(s) == 1 {
				return errLists
			}
			s = s[1:]
		}
	}
	return nil
}

// closing is where a list without lists in it ends, -1 for nowhere.
func closing(s string) int {
	inside := false
	for i := 0; i < len(s); i++ {
		switch {
		case inside && s[i] == '\\':
			i++
		case s[i] == '"':
			inside = !inside
		case s[i] == ']' && !inside:
			return i
		}
	}
	return -1
}

// items hands over what stands in a list of numbers.
func items(list string, take func(item string) error) error {
	for len(list) > 0 {
		item := list
		if end := strings.IndexByte(list, ','); end >= 0 {
			item, list = list[:end], list[end+1:]
			if len(list) == 0 {
				return errLists
			}
		} else {
			list = ""
		}
		if err := take(item); err != nil {
			return err
		}
	}
	return nil
}

func floats(into *[]float64, list string) error {
	return items(list, func(s string) error {
		v, err := strconv.ParseFloat(s, 64)
		*into = append(*into, v)
		return err
	})
}

func wholes[T int | int64](into *[]T, list string) error {
	return items(list, func(s string) error {
		v, err := strconv.ParseInt(s, 10, 64)
		*into = append(*into, T(v))
		return err
	})
}

// unknowns reads numbers of which some are not known.
func unknowns(into *[]*float64, list string) error {
	return items(list, func(s string) error {
		if s == "null" {
			*into = append(*into, nil)
			return nil
		}
		v, err := strconv.ParseFloat(s, 64)
		*into = append(*into, &v)
		return err
	})
}

// words reads strings. The same word again is not made again.
func words[T ~string](into *[]T, list string) error {
	if strings.IndexByte(list, '\\') >= 0 || strings.Count(list, `,`) != strings.Count(list, `","`) {
		var all []T
		err := json.Unmarshal([]byte("["+list+"]"), &all)
		*into = append(*into, all...)
		return err
	}
	last := T("")
	return items(list, func(s string) error {
		if len(s) < 2 || s[0] != '"' || s[len(s)-1] != '"' {
			return errLists
		}
		if s = s[1 : len(s)-1]; s != string(last) {
			last = T(s)
		}
		*into = append(*into, last)
		return nil
	})
}
