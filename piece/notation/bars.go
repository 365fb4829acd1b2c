package notation

import (
	"strconv"

	"endpin/piece/words"
)

// barline reads repeat signs, endings, double bars and signs above a bar line.
func (r *measureReader) barline(k *element) error {
	location := k.attr("location")
	if location == "" {
		location = "right"
	}
	repeat := k.child("repeat")
	if location == "middle" && repeat != nil && r.pos > 0 {
		return r.split(k, repeat)
	}
	r.repeat(repeat, location)
	if e := k.child("ending"); e != nil {
		if err := r.ending(e, location); err != nil {
			return err
		}
	}
	if location == "right" {
		switch k.of("bar-style") {
		case "light-light", "light-heavy", "heavy-light", "heavy-heavy":
			r.m.DoubleBar = true
		}
		if k.has("fermata") && len(r.m.notes) > 0 {
			r.m.notes[len(r.m.notes)-1].Articulated.Fermata = true
		}
	}
	at := 0.0
	if location == "right" {
		at = r.pos
	}
	if k.has("segno") || k.attr("segno") != "" {
		r.segno = at
	}
	if k.has("coda") || k.attr("coda") != "" {
		r.codaAt(at)
	}
	return nil
}

func (r *measureReader) repeat(repeat *element, location string) {
	switch repeat.attr("direction") {
	case "forward":
		if location == "left" || r.pos == 0 {
			r.m.RepeatStart = true
		} else {
			r.carry.RepeatStart = true
		}
	case "backward":
		times, err := strconv.Atoi(repeat.attr("times"))
		if err != nil || times < 1 {
			times = 2
		}
		if n := len(r.measures); location == "left" && n > 0 {
			r.measures[n-1].RepeatTimes = times
		} else {
			r.m.RepeatTimes = times
		}
	}
}

// ending reads a bracket: it covers the measures from start to stop.
func (r *measureReader) ending(e *element, location string) error {
	switch e.attr("type") {
	case "start":
		numbers, ok := endingNumbers(e.attr("number"))
		if !ok {
			return atMeasure(r.m.Number, words.Fault("notation.xml.ending", "typed", typed(e.attr("number"))))
		}
		r.endings = numbers
		if location == "left" || r.pos == 0 {
			r.m.Endings = numbers
		}
	case "stop", "discontinue":
		r.m.Endings = r.endings
		if location == "left" {
			r.m.Endings = nil
		}
		r.endings = nil
	}
	return nil
}

// split ends the measure at a repeat sign in its middle; what follows is a
// measure of its own that prints no number.
func (r *measureReader) split(k, repeat *element) error {
	number := r.m.Number
	backward := repeat.attr("direction") == "backward"
	r.repeat(repeat, "right")
	if e := k.child("ending"); e != nil {
		if err := r.ending(e, "right"); err != nil {
			return err
		}
	}
	start := r.carry.RepeatStart || !backward
	if err := r.close(); err != nil {
		return err
	}
	r.begin(number + "a")
	r.last = 0
	r.m.Implicit, r.m.extra = true, true
	r.m.RepeatStart = start
	r.m.Endings = r.endings
	return nil
}
