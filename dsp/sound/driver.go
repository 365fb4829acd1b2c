package sound

// Driver is what stands between this package and sound cards. Its methods are
// called by one goroutine at a time.
type Driver interface {
	// Devices looks anew at what is plugged in. No stream may be open.
	Devices() ([]Device, error)
	// OpenInput opens a device that Devices gave. Between Start and Close hear is
	// called with the next samples, mono, of any number; it keeps nothing of the
	// block.
	OpenInput(d Device, hear func(block []float32, at Moment)) (Stream, error)
	// OpenOutput opens a device to play to. play fills the block. calm lets it keep much in
	// hand: what plays may sound half a second after it was filled in.
	OpenOutput(d Device, calm bool, play func(block []float32, at Moment)) (Stream, error)
	// Time is the present on the clock of Moment.Time, s. Any goroutine may ask.
	Time() float64
}

// outlets is a driver that knows where what it plays comes out. Where a sound server stands
// between, that may change while one device plays on.
type outlets interface{ Outlet() string } // "" is not known

// Stream is sound to or from one open device.
type Stream interface {
	Rate() int
	Start() error
	// Err is nil as long as the device goes on; a *Fault where it went away or
	// changed by itself.
	Err() error
	// Close ends the stream. No callback runs any more once it returns.
	Close() error
}

// Moment goes with every block of a callback.
type Moment struct {
	// Time is when the first sample of the block passes the converter, s on one
	// clock for all streams of a driver; 0 where the device does not say.
	Time float64
	// Lost is set where the device reports that sound was lost before this block.
	Lost bool
}

// Device is one that can hear, play or both.
type Device struct {
	Name    string // as a user reads it, and by which it is remembered
	ID      int    // the driver's own, good until Devices is asked again
	Inputs  int    // channels
	Outputs int
	Rate    int // samples a second, as the device gives them
	// DefaultInput and DefaultOutput mark what the system itself would choose.
	DefaultInput, DefaultOutput bool
	Alias                       bool // no device of its own, but another name for what the system would choose
}
