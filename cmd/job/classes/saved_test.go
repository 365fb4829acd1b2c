package classes

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/class"
	"endpin/piece/finding"
)

// browser is Chromium without a window, driven as its own tools drive it: the DevTools protocol
// over a pair of pipes, a message of JSON up to each zero byte
// (https://chromedevtools.github.io/devtools-protocol/).
type browser struct {
	t    *testing.T
	to   *os.File
	from *bufio.Reader
	last int
}

func openBrowser(t *testing.T) *browser {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is not installed")
		}
		t.Skip("chromium is not installed")
	}
	theirs, to, err := os.Pipe()
	require.NoError(t, err)
	from, theirEnd, err := os.Pipe()
	require.NoError(t, err)
	cmd := exec.Command(program, "--headless=new", "--no-sandbox", "--disable-gpu", "--user-data-dir="+t.TempDir(), "--remote-debugging-pipe", "--host-resolver-rules=MAP * ~NOTFOUND", "about:blank")
	cmd.ExtraFiles = []*os.File{theirs, theirEnd}
	require.NoError(t, cmd.Start())
	theirs.Close()
	theirEnd.Close()
	b := &browser{t: t, to: to, from: bufio.NewReader(from)}
	t.Cleanup(func() {
		b.ask("", "Browser.close", nil, nil)
		to.Close()
		_ = cmd.Wait()
	})
	return b
}

// ask sends a command and reads until its answer comes.
func (b *browser) ask(session, method string, params, answer any) {
	b.t.Helper()
	b.last++
	m := map[string]any{"id": b.last, "method": method}
	if params != nil {
		m["params"] = params
	}
	if session != "" {
		m["sessionId"] = session
	}
	data, err := json.Marshal(m)
	require.NoError(b.t, err)
	_, err = b.to.Write(append(data, 0))
	require.NoError(b.t, err)
	for {
		data, err := b.from.ReadBytes(0)
		require.NoError(b.t, err)
		var got struct {
			ID     int             `json:"id"`
			Result json.RawMessage `json:"result"`
			Error  any             `json:"error"`
		}
		require.NoError(b.t, json.Unmarshal(data[:len(data)-1], &got))
		if got.ID == b.last {
			require.Nil(b.t, got.Error, method)
			if answer != nil {
				require.NoError(b.t, json.Unmarshal(got.Result, answer))
			}
			return
		}
	}
}

// page opens a page and gives what runs a script in it.
func (b *browser) page(file string) (run func(script string) any) {
	var target struct {
		TargetID string `json:"targetId"`
	}
	var session struct {
		SessionID string `json:"sessionId"`
	}
	b.ask("", "Target.createTarget", map[string]any{"url": (&url.URL{Scheme: "file", Path: file}).String()}, &target)
	b.ask("", "Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &session)
	run = func(script string) any {
		var got struct {
			Result struct {
				Value any `json:"value"`
			} `json:"result"`
			Fault any `json:"exceptionDetails"`
		}
		b.ask(session.SessionID, "Runtime.evaluate", map[string]any{"expression": script, "returnByValue": true, "userGesture": true}, &got)
		require.Nil(b.t, got.Fault, script)
		return got.Result.Value
	}
	require.Eventually(b.t, func() bool {
		return run(`document.readyState=="complete" && location.protocol=="file:"`) == true
	}, 60*time.Second, 50*time.Millisecond)
	return run
}

// A page saved in a browser with its remarks comes back: as a teacher does it, by pressing.
func TestAPageSavedInABrowserIsReadBack(t *testing.T) {
	c := folder(t)
	out := filepath.Dir(c.Keep)
	require.NoError(t, os.MkdirAll(c.Keep, 0o700))
	c.Pieces[0].Piece.Title = "Stairs"
	h := &finding.Hearing{TempoAsked: 84, TempoHeard: 84}
	for i, k := range []finding.Kind{finding.SharpAfterShift, finding.Late} {
		m := fmt.Sprint(3 + 4*i)
		h.Findings = append(h.Findings, finding.Finding{Kind: k, Measure: m, ToMeasure: m, Pass: 1, Beat: 1, Value: 31, Tolerance: 18, Trust: "sure", Notes: 2, Text: "Something in measure " + m + "."})
	}
	h.WorthFixing = []int{0, 1}
	seats := []class.Seat{{Name: "Zoë O'Neil", Files: []string{"z.wav"}}, {Name: "Ben", Files: []string{"b.wav"}}}
	at := time.Date(2026, 11, 20, 10, 0, 0, 0, time.UTC)
	write := func(r *class.Remarks, at time.Time) (s *class.Sheet, done Written) {
		s = class.Gather(c.Pieces[0].Piece, "Stairs", seats, []class.Result{{File: "z.wav", Hearing: h, At: at}, {File: "b.wav", Hearing: h, At: at}}, nil)
		done, err := Write(t.Context(), out, &c, &Heard{Sheets: []*class.Sheet{s}}, Pages{Remarks: r})
		require.NoError(t, err)
		return s, done
	}
	_, done := write(&class.Remarks{Version: 1}, at)
	assert.Equal(t, 2, done.Waiting, "no page goes home until it was seen")
	assert.NoDirExists(t, filepath.Join(out, homeFolder))

	b := openBrowser(t)
	saved := t.TempDir()
	b.ask("", "Browser.setDownloadBehavior", map[string]any{"behavior": "allow", "downloadPath": saved}, nil)
	run := b.page(filepath.Join(out, "Zoë O'Neil.html"))
	run(`document.querySelectorAll(".strike")[1].click()`)
	run(`document.getElementById("line").focus(); document.execCommand("insertText", false, "Slowly & <well>.")`)
	run(`document.getElementById("seen").click()`)
	run(`document.getElementById("save").click()`)
	var files []string
	require.Eventually(t, func() bool {
		files, _ = filepath.Glob(filepath.Join(saved, "*.html"))
		return len(files) == 1
	}, 60*time.Second, 50*time.Millisecond)

	r := &class.Remarks{Version: 1}
	n, err := ReadBack(out, r, saved)
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	again, err := ReadBack(out, r, saved)
	require.NoError(t, err)
	assert.Zero(t, again, "read once")
	own := r.For("Zoë O'Neil")
	now, _ := own.Line("2026-11-20T10:00:00Z")
	assert.Equal(t, "Slowly & <well>.", now)
	assert.Equal(t, []class.Strike{{Piece: "Stairs", Measure: "7", Pass: 1, Beat: 1, Kind: finding.Late}}, own.Struck)

	s, done := write(r, at)
	assert.Equal(t, []int{1, 1}, []int{done.Homes, done.Waiting}, "what was seen goes home, what was not waits")
	assert.FileExists(t, filepath.Join(out, homeFolder, "Zoë O'Neil.html"))
	assert.NoFileExists(t, filepath.Join(out, homeFolder, "Ben.html"))
	assert.Equal(t, []int{1}, s.Students[0].Struck)
	home := b.page(filepath.Join(out, homeFolder, "Zoë O'Neil.html"))
	assert.Equal(t, "1 Slowly & <well>.", home(`document.querySelectorAll("article").length+" "+document.querySelector(".line-of-own").textContent`))
	assert.Equal(t, 0.0, home(`document.querySelectorAll("#save, .strike, #seen").length`))

	next, _ := write(r, at.AddDate(0, 0, 7))
	assert.Equal(t, []int{1}, next.Students[0].Struck, "what is heard of the same note again stays struck")
	assert.Equal(t, "Last time your teacher wrote: Slowly & <well>.", b.page(filepath.Join(out, "Zoë O'Neil.html"))(`document.querySelector(".remark").textContent`))
}
