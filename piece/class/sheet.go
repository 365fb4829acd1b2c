package class

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"endpin/piece/finding"
	"endpin/piece/words"
)

// Status says what became of a student's recording.
type Status string

// The states.
const (
	Heard    Status = "heard"
	NotHeard Status = "not_heard" // opened or not, nothing of the piece was heard
	Missing  Status = "missing"   // on the roster, and no recording
)

// Sheet is a whole class on one piece.
type Sheet struct {
	Version   int        `json:"version"`
	Piece     string     `json:"piece"`
	Students  []Student  `json:"students"`         // the roster's in its order, then the others by name
	Reteach   []Reteach  `json:"reteach"`          // what most had first
	LeftOut   []LeftOut  `json:"left_out"`         // what lay in the folder and is no recording
	Remark    string     `json:"remark,omitempty"` // the teacher's for the class
	Questions []Question `json:"questions"`        // of which recordings it is not known whose they are
}

// Student is one row.
type Student struct {
	Name        string            `json:"name"`
	Recording   *string           `json:"recording"` // of the take that counts; null where it is missing
	Status      Status            `json:"status"`
	Reason      string            `json:"reason"` // why nothing was heard, or what leaves doubt and the mend
	Why         string            `json:"why"`    // of several takes this one counts, as a sentence; "" where there is one
	Takes       []Take            `json:"takes"`
	Findings    []finding.Finding `json:"findings"`
	WorthFixing []int             `json:"worth_fixing"`        // indexes into Findings, at most three, the most worthwhile first
	PlayedAt    string            `json:"played_at,omitempty"` // of the take that counts, ISO 8601
	DatedBy     By                `json:"dated_by,omitempty"`
	Struck      []int             `json:"struck,omitempty"`  // indexes into Findings that the teacher took away
	Line        string            `json:"teacher,omitempty"` // the teacher's own on the page
	Seen        bool              `json:"seen,omitempty"`    // the teacher has seen it, and it may go home
	Moved       string            `json:"moved,omitempty"`   // what became of what the take before it told, as a sentence

	Hearing *finding.Hearing `json:"-"` // of the take that counts; nil for none
	Since   time.Time        `json:"-"` // when the take was played that it is compared with; zero for none
	At      time.Time        `json:"-"` // when the take that counts was played; zero where that is not known
	NotYet  bool             `json:"-"` // the run was stopped before its recordings

	moved *Moved // what Moved says; nil for nothing
	given []int  // WorthFixing before anything was struck; nil where nothing was
}

// Take is one recording of a student.
type Take struct {
	Recording string `json:"recording"`
	Status    Status `json:"status"`
	Reason    string `json:"reason"`
	Chosen    bool   `json:"chosen"` // the one that counts
	PlayedAt  string `json:"played_at,omitempty"`
	NotYet    bool   `json:"-"` // the run was stopped before it
}

// Reteach is one thing that several students had in the same music.
type Reteach struct {
	Measure   string       `json:"measure"`
	ToMeasure string       `json:"to_measure"`
	Kind      finding.Kind `json:"kind"`
	Students  int          `json:"students"` // how many had it
	Of        int          `json:"of"`       // of how many whose take lets that measure be judged
	Also      []string     `json:"also"`     // other measures with the same music, counted with it
	What      string       `json:"what"`     // the note, or the position shifted into; "" where they differ
	Fewer     bool         `json:"-"`        // others were heard, of whom nothing can be told there

	throughout bool // notes were so all through the takes
}

// LeftOut is a file that was not heard, and why.
type LeftOut struct {
	File   string `json:"file"`
	Reason string `json:"reason"`
}

// Unplaced is a recording that belongs to none of several pieces, and why.
type Unplaced struct {
	Student   string `json:"name"`
	Recording string `json:"recording"`
	Reason    string `json:"reason"`
	NotYet    bool   `json:"-"` // the run was stopped before it
}

// Result is what came of listening to one file.
type Result struct {
	File    string           // its name in the folder
	Hearing *finding.Hearing // nil where nothing of the piece was heard
	Reason  string           // then why not, as a sentence
	At      time.Time        // when it was played, as far as its file says; zero where that is not known
	By      By               // and what of it says so
	Doubt   string           // what leaves doubt in the recording itself, as a sentence; "" for nothing
}

// HeardOf counts the students who were heard.
func (s *Sheet) HeardOf() (n int) {
	for i := range s.Students {
		if s.Students[i].Status == Heard {
			n++
		}
	}
	return n
}

// Ask puts down of which recordings it is not known whose they are: whoever may be meant is not
// said to have sent none.
func (s *Sheet) Ask(asked []Question) {
	s.Questions = append(s.Questions, asked...)
	for i := range s.Students {
		st := &s.Students[i]
		for k := range asked {
			if st.Status == Missing && slices.Contains(asked[k].Perhaps, st.Name) {
				st.Reason = words.Say("class.missing.perhaps", "recording", asked[k].File)
			}
		}
	}
}

// Given are the findings that the student is given to work on, the struck ones among them.
func (s *Student) Given() []int {
	if s.given != nil {
		return s.given
	}
	return s.WorthFixing
}

// Alphabetical is the order of students by name, whatever its accents.
func Alphabetical(all []Student) []int {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(strings.Compare(key(all[a].Name), key(all[b].Name)), strings.Compare(all[a].Name, all[b].Name))
	})
	return order
}

// mostNamed is how many students a question names.
const mostNamed = 5

// Text asks whose a recording is, with a proposal and how to answer.
func (q *Question) Text() string {
	switch {
	case len(q.Perhaps) == 1 && len(q.Unplaced) > 0:
		return words.Say("class.whose.perhaps.but", "recording", q.File, "name", q.Perhaps[0], "words", words.List(q.Unplaced), "answer", q.answer(q.Perhaps[0]))
	case len(q.Perhaps) == 1:
		return words.Say("class.whose.perhaps", "recording", q.File, "name", q.Perhaps[0], "answer", q.answer(q.Perhaps[0]))
	case len(q.Perhaps) > 1:
		return words.Say("class.whose.several", "recording", q.File, "names", words.List(q.Perhaps), "answer", q.answer(q.Perhaps[0]))
	case len(q.Missing) > 0 && len(q.Missing) <= mostNamed:
		name := q.Missing[0]
		if len(q.Unplaced) > 0 { // whoever that is, it is none of them
			name = strings.Join(q.Unplaced, " ")
		}
		return words.Say("class.whose.missing", "recording", q.File, "names", words.List(q.Missing), "answer", q.answer(name))
	}
	return words.Say("class.whose", "recording", q.File, "answer", q.answer(words.Say("class.whose.name")))
}

// answer is the line of a roster that answers: in its pattern a bracket or a star is itself.
func (q *Question) answer(name string) string {
	pattern := strings.NewReplacer(`\`, `\\`, "[", `\[`, "*", `\*`, "?", `\?`).Replace(q.File)
	if strings.ContainsAny(pattern, ",;\"\t") {
		pattern = `"` + strings.ReplaceAll(pattern, `"`, `""`) + `"`
	}
	comma := ","
	if q.Comma != 0 {
		comma = string(q.Comma)
	}
	return words.Say("class.whose.answer", "name", name, "comma", comma, "recording", pattern)
}
