package pupil

// Fault is one mistake.
type Fault struct {
	Name  string
	Plant func(*making) bool // false where the line has no place for it
}
