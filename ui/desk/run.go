package desk

import (
	"errors"
	"fmt"
	"os"
	"sync"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/finding"
)

// run is an attempt with its sound: one goroutine reads, listens and writes the
// take to disk, another looks at what was heard so far.
type run struct {
	source  dsp.Source
	mic     *sound.Microphone // nil where something plays in its place
	speaker *sound.Loudspeaker
	latency sound.Latency
	at      int64 // position in the loudspeaker's sound of the first click
	attempt *Attempt
	take    *Take
	rec     *Recorder
	stop    chan struct{}
	once    sync.Once
	again   bool // echo: round and round until somebody stops it
}

// silentRate is the rate of the clock where nobody listens.
const silentRate = 44100

// Start begins an attempt at the work chosen.
func (d *Desk) Start() {
	if d.Running || d.Judging {
		return
	}
	d.Message, d.CutOff, d.Chosen.at = "", nil, 0
	r, err := d.begin()
	if err != nil {
		d.Say(sentence(err))
		return
	}
	d.run, d.Running = r, true
	d.Live = r.attempt.Live()
	go d.listen(r)
	d.tell()
}

// begin opens what an attempt needs.
func (d *Desk) begin() (*run, error) {
	r := &run{stop: make(chan struct{}), again: d.Work.Way == Echo}
	if err := d.openSource(r); err != nil {
		return nil, err
	}
	fail := func(err error) (*run, error) { r.close(); return nil, err }
	var err error
	r.attempt, err = NewAttempt(d.Score, d.Work, d.Settings.Judging(), r.source.Rate(), 0)
	if err != nil {
		return fail(err)
	}
	if d.Work.Way.Leads() && d.means.Card != nil {
		if r.speaker, err = d.means.Card.Loudspeaker(d.Settings.Loudspeaker); err != nil {
			d.Message = sentence(err) // it goes on without: the cursor leads
		} else {
			d.sound(r)
			if r.mic != nil {
				r.latency.Seconds = d.Settings.Latency[Pair(r.mic.Name, r.speaker.Name)]
			}
		}
	}
	if d.Work.Way.Hears() && d.means.Folder != "" {
		if err := d.record(r); err != nil {
			return fail(err)
		}
	}
	return r, nil
}

func (d *Desk) openSource(r *run) error {
	if !d.Work.Way.Hears() {
		r.source = &Paced{Source: silence{silentRate}}
		return nil
	}
	var err error = &sound.Fault{Trouble: sound.None}
	if d.means.Card != nil {
		var m *sound.Microphone
		if m, err = d.means.Card.Microphone(d.Settings.Microphone); err == nil {
			r.source, r.mic = m, m
			return nil
		}
	}
	var f *sound.Fault
	if d.means.Instead == nil || !errors.As(err, &f) || f.Trouble != sound.None {
		return err
	}
	source, name, e := d.means.Instead()
	if e != nil {
		return e
	}
	r.source = source
	d.Message = fmt.Sprintf("There is no microphone: %s plays in its place.", name)
	return nil
}

// sound has the loudspeaker play the clicks, and in echo the line.
func (d *Desk) sound(r *run) {
	rate, table := r.speaker.Rate(), r.attempt.table
	r.at = r.speaker.Next() + int64(rate)/5
	for _, b := range table.Beats {
		if d.Work.Way == Echo && !b.Before {
			break
		}
		r.speaker.Start(voice.Click(rate, b.Number == 1), r.at+int64(b.At*float64(rate)))
	}
	if d.Work.Way == Echo {
		r.speaker.Start(voice.Line(rate, d.Score.sounding(d.Work, table), d.Settings.A4), r.at)
	}
}

func (d *Desk) record(r *run) error {
	if err := os.MkdirAll(d.means.Folder, 0o700); err != nil {
		return fmt.Errorf("takes cannot be kept in %s: %w", d.means.Folder, err)
	}
	now := d.means.Now()
	t := &Take{Made: now, Piece: d.Score.File, Title: d.Score.Title(), Way: d.Work.Way, QPM: d.Work.QPM,
		A4: d.Settings.A4, Intonation: d.Settings.Intonation, Level: d.Settings.Level,
		Sound: newSound(d.means.Folder, now), kept: true}
	if !d.Score.Whole(d.Work.First, d.Work.Last) {
		t.Measures = d.Range()
	}
	var err error
	if r.rec, err = NewRecorder(t.Sound, r.source.Rate()); err != nil {
		return fmt.Errorf("the take cannot be kept: %w", err)
	}
	r.take = t
	return t.save()
}

// Stop ends the attempt; the take so far is kept and judged.
func (d *Desk) Stop() {
	if d.run != nil {
		d.run.again = false
		d.run.end()
	}
}

func (r *run) end() { r.once.Do(func() { close(r.stop) }) }

func (r *run) close() {
	if r.mic != nil {
		r.mic.Close()
	}
	if r.speaker != nil {
		r.speaker.Close()
	}
	if r.rec != nil {
		r.rec.Close()
	}
}

const (
	blockSeconds = 0.02 // of sound at once
	tellSeconds  = 0.05 // between two tidings to the views
	lookShare    = 6    // a look may take one sixth of a core
)

// listen is the goroutine of an attempt.
func (d *Desk) listen(r *run) {
	rate := r.source.Rate()
	buf := make([]float32, max(1, int(blockSeconds*float64(rate))))
	seen := make(chan looked, 1)
	looking, every, told := false, 0.0, 0.0
	if d.means.Listening != nil {
		d.means.Listening()
	}
	var trouble error
	for r.attempt.Phase() != Ended {
		select {
		case <-r.stop:
			r.attempt.Stop()
			continue
		case s := <-seen:
			looking, every = false, lookShare*s.took
			r.attempt.See(s.Seen)
		default:
		}
		n, err := r.source.Read(buf)
		if err != nil {
			trouble = err
			break
		}
		r.attempt.Push(buf[:n])
		if r.rec != nil && r.attempt.Wanted() {
			r.rec.Write(buf[:n])
		}
		if r.mic != nil && r.speaker != nil {
			if at, ok := r.mic.Heard(r.speaker, r.at, r.latency); ok {
				r.attempt.Lead(at)
			}
		}
		if !looking {
			if look := r.attempt.Look(every); look != nil {
				looking = true
				go func() { seen <- look.timed(d.means.Now) }()
			}
		}
		if now := r.attempt.Time(); now-told >= tellSeconds {
			told = now
			live := r.attempt.Live()
			d.means.Post(func() {
				if d.run == r {
					d.Live = live
					d.tell()
				}
			})
		}
	}
	heard := r.attempt.heard
	r.close()
	d.means.Post(func() { d.ended(r, heard, trouble) })
}

// ended puts an attempt away and has its take judged.
func (d *Desk) ended(r *run, heard bool, trouble error) {
	d.Running, d.run = false, nil
	if trouble != nil {
		d.Message = sentence(trouble)
	}
	if r.rec != nil && r.rec.Err() != nil {
		d.Message = fmt.Sprintf("The take could not be written on: %v. What was written is kept.", r.rec.Err())
	}
	switch {
	case r.take == nil:
	case !heard:
		os.Remove(r.take.Sound)
		os.Remove(r.take.notes())
		if d.Message == "" {
			d.Message = "Nothing was heard, so no take was kept."
		}
		if d.done != nil {
			defer d.done(nil)
		}
	default:
		d.Takes = append([]*Take{r.take}, d.Takes...)
		message := d.Message
		after := d.done
		if r.again {
			d.done = func(h *finding.Hearing) {
				if d.done = after; after != nil {
					after(h)
				}
				d.Start()
			}
		}
		d.judge(r.take)
		d.Message = message
	}
	d.tell()
}
