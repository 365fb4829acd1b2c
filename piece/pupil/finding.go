package pupil

// Level is the tolerances a take is judged by (the design's table: common
// practice, no source).
type Level struct {
	Name       string
	FrameCents float64
	NoteCents  float64
	OnsetMS    float64
	Held       float64 // fraction of the written length
	TempoShare float64
	TuneCents  float64
}

// The levels.
var (
	FirstYear    = Level{"first-year", 25, 35, 150, 0.60, 0.12, 15}
	Intermediate = Level{"intermediate", 18, 25, 100, 0.70, 0.08, 10}
	Advanced     = Level{"advanced", 10, 15, 50, 0.80, 0.05, 5}
)

// Finding is a finding that a performance must give, or may.
type Finding struct {
	Kind      string  `json:"kind"`
	Measure   string  `json:"measure"` // printed number
	ToMeasure string  `json:"to_measure"`
	Pass      int     `json:"pass"` // which time that measure comes round, counted from 1; 0 where it does not matter
	Beat      float64 `json:"beat"`
	Value     float64 `json:"value"`
	// Within is how near the value must be told; 0 where it is not compared.
	Within float64 `json:"within"`
	// FrameSize is how many stopped notes the displaced frame has; 0 for others.
	FrameSize int `json:"frame_size,omitempty"`
	// Anywhere: the finding may name any measure from Measure to ToMeasure.
	Anywhere bool   `json:"anywhere,omitempty"`
	Fault    string `json:"fault"` // the Fault that planted it, by name
}
