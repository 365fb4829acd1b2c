package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/piece/class"
	"endpin/piece/homework"
)

// TestMain makes a program of this test, which the scripts in testdata/script
// run as a user does, with a true exit status.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"endpin": main})
}

func TestScripts(t *testing.T) {
	slow(t)
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			return errors.Join(
				os.WriteFile(filepath.Join(e.WorkDir, "demo.musicxml"), assets.DemoPiece, 0o600),
				os.WriteFile(filepath.Join(e.WorkDir, "demo.flac"), assets.DemoTake, 0o600))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "handsin": handsIn, "saves": saves},
	})
}

// handsIn is what the desk does of a take: handsin HOMEWORK PLAYER SOUND FILE.
func handsIn(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: handsin HOMEWORK PLAYER SOUND FILE")
	}
	h, err := job.OpenHomework(ts.MkAbs(args[0]))
	ts.Check(err)
	defer h.Close()
	var b bytes.Buffer
	ts.Check(h.HandIn(&b, homework.Take{Player: args[1], Played: time.Date(2026, 11, 4, 17, 0, 0, 0, time.UTC)}, strings.NewReader(ts.ReadFile(args[2]))))
	ts.Check(os.WriteFile(ts.MkAbs(args[3]), b.Bytes(), 0o600))
}

// saves is what a browser does where a teacher strikes a finding, writes a line, ticks that the
// page was seen and saves it: saves PAGE KIND LINE FILE.
func saves(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: saves PAGE KIND LINE FILE")
	}
	before, rest, found := strings.Cut(ts.ReadFile(args[0]), `id="said">`)
	said, after, ended := strings.Cut(rest, "</script>")
	if !found || !ended {
		ts.Fatalf("%s says nothing of itself", args[0])
	}
	var page class.Saved
	ts.Check(json.Unmarshal([]byte(said), &page))
	page.Saved, page.Seen, page.Line, page.Struck = true, true, args[2], nil
	for i, t := range page.Told {
		if string(t.Kind) == args[1] {
			page.Struck = append(page.Struck, i)
		}
	}
	text, err := json.Marshal(page)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[3]), []byte(before+`id="said">`+string(text)+"</script>"+after), 0o600))
}

var oneLine = regexp.MustCompile(`^endpin: [^\n]+\n$`)

// exits STATUS COMMAND... runs a command that ends with that status. Where it
// is not 0, one line stands on standard error and nothing on standard output;
// where it is 0, nothing stands on standard error.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND...")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		code = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	out, errOut := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	switch {
	case fmt.Sprint(code) != args[0]:
		ts.Fatalf("exit status %d, not %s", code, args[0])
	case code == 0 && errOut != "":
		ts.Fatalf("said on standard error though all went well")
	case code != 0 && !oneLine.MatchString(errOut):
		ts.Fatalf("not one line on standard error")
	case code != 0 && out != "":
		ts.Fatalf("wrote to standard output though it failed")
	}
}

// endpin runs the command line in this process.
func endpin(args ...string) (out, errOut string, code int) {
	var o, e bytes.Buffer
	code = run(args, &o, &e)
	return o.String(), e.String(), code
}

// slow leaves a test that hears whole takes out of the race detector's short
// round: there is one goroutine.
func slow(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("hears whole takes")
	}
}

// kept writes a file into a folder of the test's own and gives its path.
func kept(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path
}

// demoFiles gives the demo piece and the demo take as files.
func demoFiles(t *testing.T) (piece, take string) {
	t.Helper()
	return kept(t, "demo.musicxml", assets.DemoPiece), kept(t, "demo.flac", assets.DemoTake)
}
