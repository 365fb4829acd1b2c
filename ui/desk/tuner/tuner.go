package tuner

import (
	"errors"
	"slices"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/tuning"
	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// Tuner is the tuning check: the strings before anything is played. The
// microphone is open from Open to Close and no longer; nothing is recorded. What
// the check came to is kept as long as the Tuner is. It belongs to the desk's
// goroutine, as the desk does.
type Tuner struct {
	Live   Live
	Open   bool   // the screen stands there
	Hears  bool   // and the microphone is open
	Said   string // one sentence of trouble; empty for none
	Tone   int    // the string whose tone sounds, 1 the highest; 0 for none
	Chosen int    // the string whose tone a pedal would sound; 0 for back to the page

	host    Host
	in      fingerboard.Instrument
	check   *tuning.Check // kept from one opening to the next
	ear     *ear          // of the last opening; the goroutine's own while there is a run
	run     *run
	speaker *sound.Loudspeaker
	playing *sound.Playing
	offered bool             // no more to be offered
	before  []tuning.Reading // as the screen was opened
}

// Host is the desk that the check is made at. Its methods are called on the desk's
// goroutine.
type Host interface {
	Post(func()) // on that goroutine
	Changed()    // what is seen is another
	OnChange(func())
	Playing() bool      // an attempt goes on
	Offers() bool       // something else, that comes first: a take that was cut off
	A4() float64        // the reference, Hz
	SetA4(hz float64)   // keeps it
	Tolerance() float64 // cents that a string may be off
	Checked(tuning.Outcome)
	// Microphone and Loudspeaker open those chosen. Where another took its place,
	// instead is the sentence that says so.
	Microphone() (m *sound.Microphone, instead string, err error)
	Loudspeaker() (l *sound.Loudspeaker, instead string, err error)
}

// Live is what a view shows of the check. It is a value: a view may keep it.
type Live struct {
	Now     tuning.Now
	Strings []tuning.Reading // the lowest first
	Pair    tuning.Pair
	Outcome tuning.Outcome
	Time    float64 // s of sound since the microphone was opened
	Lately  int     // the string that sounded last; 0 for none
	Doubt   string  // one sentence about the sound, empty where all is well
}

// toneOctaves is how far above its string a tone sounds: two octaves, where a
// small loudspeaker carries it, and where the harmonic at a quarter of the string
// sounds too.
const toneOctaves = 2

// New makes the check of the strings of whoever works at a desk.
func New(h Host) *Tuner {
	t := &Tuner{host: h, in: fingerboard.DoubleBass()}
	t.check = tuning.New(t.in, h.A4(), h.Tolerance())
	t.ear = &ear{check: t.check}
	t.Chosen = len(t.in.Strings)
	for i, s := range t.in.Strings {
		if s.Name == "A" {
			t.Chosen = i + 1 // the string that the reference is named by comes first
		}
	}
	t.Live = liveOf(t.check)
	h.OnChange(t.changed)
	return t
}

// Tolerance is how far a string may be off, cents.
func (t *Tuner) Tolerance() float64 { return t.host.Tolerance() }

// changed follows the desk: once something is played the check is no more offered.
func (t *Tuner) changed() {
	if t.host.Playing() {
		t.offered = true
	}
}

// Offer reports whether the check should be offered: before the first take of a
// session, once; a take that was cut off is offered first.
func (t *Tuner) Offer() bool { return !t.offered && !t.host.Playing() && !t.host.Offers() }

// Decline offers it no more.
func (t *Tuner) Decline() {
	t.offered = true
	t.host.Changed()
}

// Enter opens the microphone and listens. What was heard before is kept.
func (t *Tuner) Enter() {
	if t.Open || t.host.Playing() {
		return
	}
	t.Open, t.offered, t.Said = true, true, ""
	t.check.Set(t.host.A4(), t.host.Tolerance())
	t.check.Break()
	t.before = slices.Clone(t.check.Strings())
	if err := t.listen(); err != nil {
		t.Said = t.trouble(err)
	}
	t.show()
}

// trouble puts a fault in one sentence. Where there is no microphone the tones
// are left.
func (t *Tuner) trouble(err error) string {
	var f *sound.Fault
	if errors.As(err, &f) && f.Trouble == sound.None {
		return words.Say("desk.tuner.no-microphone")
	}
	return said.Sentence(err)
}

// listen opens the microphone. Nothing plays in its place: what is to be heard
// is this bass.
func (t *Tuner) listen() error {
	mic, instead, err := t.host.Microphone()
	if err != nil {
		return err
	}
	t.Said = instead
	hears, err := newEar(t.check, mic.Rate())
	if err != nil {
		mic.Close()
		return err
	}
	r := &run{mic: mic, ear: hears, told: make(chan func(*ear), 16), ended: make(chan struct{})}
	t.run, t.ear, t.Hears = r, hears, true
	go r.listen(t.host.Post, func(l Live) {
		if t.run == r {
			t.Live = l
			t.host.Changed()
		}
	}, func(err error) {
		if t.run == r {
			t.Said, t.Hears = t.trouble(err), false
			t.host.Changed()
		}
	})
	return nil
}

// Leave closes microphone and loudspeaker. The readings stay.
func (t *Tuner) Leave() {
	if !t.Open {
		return
	}
	t.Open, t.Hears, t.Tone, t.playing = false, false, 0, nil
	if r := t.run; r != nil {
		t.run = nil
		r.mic.Close()
		<-r.ended // nobody else touches the check from here on
	}
	if t.speaker != nil {
		t.speaker.Close()
		t.speaker = nil
	}
	t.check.Break()
	t.show()
	if o := t.Live.Outcome; !slices.Equal(o.Strings, t.before) {
		t.host.Checked(o)
	}
}

// do changes the check, wherever it is at work.
func (t *Tuner) do(f func(*ear)) {
	if t.run != nil && t.Hears {
		select {
		case t.run.told <- f:
		case <-t.run.ended:
		}
		return
	}
	f(t.ear)
	t.show()
}

func (t *Tuner) show() {
	if t.run == nil || !t.Hears {
		lately := t.Live.Lately
		t.Live = liveOf(t.check)
		t.Live.Lately = lately
	}
	t.host.Changed()
}

// SetA4 changes the reference A, which the desk remembers.
func (t *Tuner) SetA4(hz float64) {
	hz = max(finding.LowestA4, min(finding.HighestA4, hz))
	t.host.SetA4(hz)
	tolerance := t.host.Tolerance()
	t.do(func(e *ear) { e.check.Set(hz, tolerance) })
	if t.Tone != 0 {
		t.sound(t.Tone)
	}
}

// TakeA4 takes the A at which the strings agree as the reference, to the hertz.
func (t *Tuner) TakeA4() { t.SetA4(float64(int(t.Live.Outcome.A4 + 0.5))) }

// Other says that the harmonic heard last was the other string's.
func (t *Tuner) Other() { t.do(func(e *ear) { e.check.Other() }) }

// Anew forgets all readings, and looks for a microphone where there was none or
// it went away.
func (t *Tuner) Anew() {
	if t.Open && !t.Hears {
		t.Leave()
		t.Enter()
	}
	a4, tolerance, in := t.host.A4(), t.host.Tolerance(), t.in
	t.do(func(e *ear) { *e.check = *tuning.New(in, a4, tolerance) })
}

// Next goes on to the next string, from the lowest up, for its tone; after the
// highest comes 0, the way back to the page. It is what one of two pedals does.
func (t *Tuner) Next() {
	if t.Chosen--; t.Chosen < 0 {
		t.Chosen = len(t.in.Strings)
	}
	if t.Tone != 0 {
		t.sound(t.Chosen)
	}
	t.host.Changed()
}

// Sound lets a string's tone sound, or stops it where it sounds.
func (t *Tuner) Sound(number int) {
	if !t.Open || number < 1 || number > len(t.in.Strings) {
		return
	}
	if t.Tone == number {
		number = 0
	} else {
		t.Chosen = number
	}
	t.sound(number)
	t.host.Changed()
}

// sound is Sound without the turning off. While a tone sounds nothing is read:
// the microphone hears it too, and then the player's ear decides.
func (t *Tuner) sound(number int) {
	if t.playing != nil {
		t.playing.Stop()
		t.playing = nil
	}
	t.Tone = 0
	if number == 0 {
		t.do(func(e *ear) { e.deafen(false) })
		return
	}
	if t.speaker == nil {
		var instead string
		var err error
		if t.speaker, instead, err = t.host.Loudspeaker(); instead != "" {
			t.Said = instead
		}
		if err != nil {
			t.speaker, t.Said = nil, said.Sentence(err)
			t.do(func(e *ear) { e.deafen(false) })
			return
		}
	}
	t.do(func(e *ear) { e.deafen(true) })
	hz := voice.DroneHz(t.in.Strings[number-1].MIDI, toneOctaves, t.host.A4())
	t.playing = t.speaker.Start(voice.Drone(t.speaker.Rate(), hz), 0)
	t.Tone = number
}

func liveOf(c *tuning.Check) Live {
	return Live{Now: c.Now(), Strings: c.Strings(), Pair: c.Pair(), Outcome: c.Outcome()}
}

// run is the check with its microphone; one goroutine listens.
type run struct {
	mic   *sound.Microphone
	ear   *ear
	told  chan func(*ear)
	ended chan struct{}
}

// listen reads until the microphone is closed or gone. It gives what is heard 20
// times a second, and the error where the microphone went away.
func (r *run) listen(post func(func()), show func(Live), gone func(error)) {
	defer close(r.ended)
	rate := r.mic.Rate()
	buf := make([]float32, max(1, int(hearsEvery*float64(rate))))
	next := 0.0
	for {
		for more := true; more; {
			select {
			case f := <-r.told:
				f(r.ear)
				next = 0
			default:
				more = false
			}
		}
		n, err := r.mic.Read(buf)
		if err != nil {
			var f *sound.Fault
			if errors.As(err, &f) {
				post(func() { gone(err) })
			}
			return
		}
		r.ear.push(buf[:n])
		if now := r.ear.time(); now >= next {
			next = now + tellsEvery
			live := r.ear.live()
			post(func() { show(live) })
		}
	}
}

// ear hears sound for a check; sound alone drives it.
type ear struct {
	check    *tuning.Check
	listener *dsp.Listener
	meter    *sound.Meter
	rate     int
	count    int64   // samples so far
	since    float64 // s at which this listener began
	last     float64 // s of the last frame, in the listener's time
	deaf     bool    // a tone sounds
	until    float64 // s up to which it may still be heard
	doubt    doubting
	lately   int
}

const (
	hearsEvery = 0.02 // s of sound at once
	tellsEvery = 0.05 // s between two tidings to the view
	lookAhead  = 10   // frames: a pitch is settled after a tenth of a second
	renewAfter = 120  // s after which a listener is made anew, so that it does not grow
	ringsOn    = 0.8  // s that a tone goes on in the room
	doubtAfter = 1.5  // s that a doubt must last before it is told
)

// doubting is how long something has been not sure.
type doubting struct {
	what  tuning.Doubt
	since float64
}

func newEar(c *tuning.Check, rate int) (*ear, error) {
	e := &ear{check: c, rate: rate, meter: sound.NewMeter(rate), last: -1}
	return e, e.renew()
}

func (e *ear) renew() (err error) {
	e.listener, err = dsp.NewListener(dsp.Config{Low: dsp.Bass.Low, High: dsp.Bass.High, Lag: lookAhead}, e.rate)
	e.since, e.last = e.time(), -1
	return err
}

func (e *ear) time() float64 {
	if e.rate == 0 {
		return 0
	}
	return float64(e.count) / float64(e.rate)
}

// deafen says that a tone sounds, or no more.
func (e *ear) deafen(yes bool) {
	e.deaf = yes
	e.until = e.time() + ringsOn
	e.check.Break()
}

// push takes the next samples.
func (e *ear) push(block []float32) {
	e.count += int64(len(block))
	e.meter.Push(block)
	e.listener.Push(block)
	now := e.time()
	frames := e.listener.Latest(max(8, 2+200*len(block)/e.rate))
	for len(frames) > 0 && frames[0].Time <= e.last {
		frames = frames[1:]
	}
	if len(frames) > 0 {
		e.last = frames[len(frames)-1].Time
	}
	if e.deaf || now < e.until {
		return
	}
	for i := range frames {
		frames[i].Time += e.since // the check's time goes on where a listener begins anew
	}
	e.check.Push(frames...)
	if now := e.check.Now(); now.Sounding && now.String != 0 {
		e.lately = now.String
	}
	if why := e.check.Now().Why; why != e.doubt.what {
		e.doubt = doubting{why, now}
	}
	if now-e.since > renewAfter && !e.check.Now().Sounding {
		_ = e.renew() // the rate served before
		e.check.Break()
	}
}

// live is what stands now.
func (e *ear) live() Live {
	l := liveOf(e.check)
	l.Time, l.Lately = e.time(), e.lately
	now := l.Now
	switch level := said.Remedy(e.meter.State()); {
	case e.deaf:
		l.Doubt = words.Say("desk.tuner.deaf")
	case level != "" && (now.Sounding || e.meter.Level() < mute):
		l.Doubt = level
	case now.Sounding && e.time()-e.doubt.since >= doubtAfter:
		l.Doubt = e.doubt.what.Say()
	}
	return l
}

// mute is a level below which not even a room is heard, dB re full scale.
const mute = -85
