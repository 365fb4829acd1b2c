//go:build !unix

package diary

import "testing"

func asNobody(t *testing.T) { t.Skip("here nobody is root") }
