// Command endpin-desk opens the desk: the window a student works at with a
// double bass in both hands.
//
//	endpin-desk [PIECE] ── options.go ─> desk.Desk ── ui.Window ─> a real window
//	                                        │
//	              sound card, files, hear's code: wiring.go
//
// Read main, then wiring.go.
package main

import (
	"errors"
	"fmt"
	"io"
	"log"
	"os"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/app"
	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/cmd/option"
	"endpin/piece/finding"
	"endpin/piece/outside"
	"endpin/piece/words"
	"endpin/ui"
	"endpin/ui/desk"
	"endpin/ui/desk/remembered"
	"endpin/ui/ink"
	_ "endpin/ui/locale" // before the toolkit looks for a language
)

func main() {
	log.SetOutput(io.Discard) // the toolkit's own remarks mean nothing to a user; ours go to standard error
	words.Speak(option.System())
	if own, chosen := words.Best(remembered.Language(settingsFile())); chosen {
		words.Speak(own)
	}
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

const unusable = 2 // exit status for arguments or files that cannot be used

func run(args []string, out, errOut io.Writer) int {
	asked, args, err := option.Spoken(args)
	if asked != nil {
		defer words.Speak(words.Speak(asked))
	}
	var o opts
	if err == nil {
		o, err = options(args)
	}
	if errors.Is(err, pflag.ErrHelp) {
		help(out)
		return 0
	}
	if err == nil && o.version {
		fmt.Fprintln(out, job.Version("endpin-desk"))
		return 0
	}
	if err == nil {
		err = open(o, out)
	}
	if err != nil {
		fmt.Fprintf(errOut, "endpin-desk: %s\n", outside.Line(words.Told(err)))
		return unusable
	}
	return 0
}

// open sets everything out and runs until the window is closed, or, where
// findings go to a file, until the take has ended.
func open(o opts, out io.Writer) (failed error) {
	defer func() { failed = spared(recover(), failed) }()
	demo, err := demoScore()
	if err != nil {
		return err
	}
	if o.piece != "" && o.begins() {
		if _, err := readScore(o.piece, o.part, o.instrument); err != nil {
			return err // before there is a window
		}
	}
	a := app.NewWithID("endpin.desk")
	a.SetIcon(ink.Icon())
	win := a.NewWindow(words.Say("window.start.title.none"))
	means, left := means(o, out)
	d := desk.New(demo, means)
	if left != nil && d.Message == "" {
		d.Message = words.Say("window.start.left", "err", left)
	}
	if o.piece != "" {
		_ = d.Pieces.Begin(o.piece, o.part, o.instrument) // one that cannot be opened is told in the window
	}
	if err := o.set(d); err != nil {
		return err
	}
	a.Settings().SetTheme(ink.Look{Dark: d.Settings.Dark})
	w := ui.New(d, win, o.begins())
	if d.Puts == 0 && !o.begins() {
		w.ToPieces()
	}
	size := fyne.NewSize(float32(o.width), float32(o.height))
	win.Content().Resize(size) // before it lies in that width it asks for more height than it needs there
	win.Resize(size)
	if o.findings != "" {
		d.Finished(func(h *finding.Hearing) {
			failed = o.tell(h)
			a.Quit()
		})
	}
	a.Lifecycle().SetOnStarted(func() {
		fyne.Do(func() {
			if d.Trouble { // what hangs on the window's size sees it
				d.Fault(d.Message)
			} else {
				d.Say(d.Message)
			}
			switch {
			case o.recording != "":
				d.Open(o.recording)
			case o.work == "":
				d.HearHandedIn()
			default:
				d.Start()
				if !d.Running && o.findings != "" {
					failed = errors.New(d.Message)
					a.Quit()
				}
			}
		})
	})
	endInTime()
	win.ShowAndRun()
	d.Leave()
	return failed
}

// spared makes one line of a panic: the toolkit panics where it finds no screen.
// Whatever else may do so, the take so far is on disk.
func spared(panicked any, err error) error {
	switch {
	case panicked == nil:
		return err
	case strings.Contains(fmt.Sprint(panicked), "GLFW"):
		return words.Fault("window.start.no-screen")
	}
	return words.Fault("window.start.failed", "err", panicked)
}

// tell writes what was heard, whole or not at all.
func (o opts) tell(h *finding.Hearing) error {
	if h == nil {
		return words.Fault("window.start.no-findings")
	}
	var out job.Outputs
	_, err := out.JSON(o.findings, h)
	for _, stays := range out.Stays() {
		fmt.Fprintln(os.Stderr, outside.Line(stays.String()))
	}
	return err
}
