package sound

import (
	"strconv"

	"endpin/dsp"
)

// Trouble is what can go wrong with a device.
type Trouble string

// What can go wrong.
const (
	None    Trouble = "none"    // there is no such device at all
	Absent  Trouble = "absent"  // the device chosen is not plugged in
	Busy    Trouble = "busy"    // another program holds it
	Pulled  Trouble = "pulled"  // it went away, or stopped, while in use
	Changed Trouble = "changed" // its sampling rate is another now
	Refused Trouble = "refused" // anything else: the driver's own words follow
)

// Fault is one trouble with one device.
type Fault struct {
	Trouble Trouble
	Output  bool   // of a loudspeaker, else of a microphone
	Device  string // as the user chose it; may be empty
	Err     error  // what the driver said, if anything
}

// Error implements error, for whoever writes programs: see dsp.Error.
func (f *Fault) Error() string {
	what, values := f.Message()
	return dsp.Fault(what, values...).Error()
}

// Message is the key of the sentence for the user, and what stands in its places.
func (f *Fault) Message() (key string, places []any) {
	key = "sound." + string(f.Trouble) + ".microphone"
	if f.Output {
		key = "sound." + string(f.Trouble) + ".loudspeaker"
	}
	if f.Device != "" && f.Trouble != None {
		key += ".named"
		places = append(places, "device", strconv.Quote(f.Device))
	}
	if f.Err != nil && f.Trouble == Refused {
		key += ".said"
		places = append(places, "err", f.Err)
	}
	return key, places
}

// Unwrap gives what the driver said.
func (f *Fault) Unwrap() error { return f.Err }
