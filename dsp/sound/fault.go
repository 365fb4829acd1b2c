package sound

import "fmt"

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

// Fault is one trouble with one device. Error is the sentence for the user.
type Fault struct {
	Trouble Trouble
	Output  bool   // of a loudspeaker, else of a microphone
	Device  string // as the user chose it; may be empty
	Err     error  // what the driver said, if anything
}

// Error implements error.
func (f *Fault) Error() string {
	what := "microphone"
	if f.Output {
		what = "loudspeaker"
	}
	name := "The " + what
	if f.Device != "" {
		name = fmt.Sprintf("The %s %q", what, f.Device)
	}
	switch f.Trouble {
	case None:
		return fmt.Sprintf("This computer has no %s; plug one in and try again.", what)
	case Absent:
		return name + " is not plugged in; plug it in or choose another."
	case Busy:
		return name + " is in use by another program; close that program or choose another device."
	case Pulled:
		return name + " stopped; plug it in again to go on. What was played so far is kept."
	case Changed:
		return name + " changed its sampling rate; start again to go on. What was played so far is kept."
	}
	why := ""
	if f.Err != nil {
		why = fmt.Sprintf(" (%v)", f.Err)
	}
	return name + " cannot be opened" + why + "; see that it is plugged in, or choose another."
}

// Unwrap gives what the driver said.
func (f *Fault) Unwrap() error { return f.Err }
