package report

import (
	"fmt"
	"html/template"
	"io"
	"sort"
	"time"

	"endpin/piece/trend"
)

// Diary is what a player's page over weeks is filled with.
type DiaryModel struct {
	Player string
	From   time.Time // first day shown
	To     time.Time // last day shown
	Shifts []DiaryShift
	Kinds  []trend.Line
	Takes  []DiaryTake
	Weeks  []DiaryMeasure // measures × weeks, in order of the pieces and their measures
	More   []string       // sentences: what slipped back, the tempo that is clean, strings that drift
}

// DiaryShift is one shift with its landings.
type DiaryShift struct {
	trend.Line
	Landings []trend.Landing
}

// DiaryTake is one take on the calendar.
type DiaryTake struct {
	When  time.Time
	Piece string
}

// DiaryMeasure is one measure of a piece: what share of the times it was played
// something was told of it, by the Monday of the week.
type DiaryMeasure struct {
	Piece, Measure string
	Weeks          []trend.WeekOf // Value is the share, 0 to 1
}
