package words

import (
	"strconv"
	"time"
)

// Date is a day of the calendar, or a minute of it, as it is written where it was.
type Date struct {
	at   time.Time
	form string
	hour bool
}

// Day writes a day whole: "2 January 2006".
func Day(t time.Time) Date { return Date{at: t, form: "full"} }

// DayOfYear leaves the year out: "2 January".
func DayOfYear(t time.Time) Date { return Date{at: t, form: "day"} }

// BriefDay writes a day in few letters: "2 Jan".
func BriefDay(t time.Time) Date { return Date{at: t, form: "brief"} }

// DayOfWeek names the day of the week with it: "Monday 2 January".
func DayOfWeek(t time.Time) Date { return Date{at: t, form: "weekday"} }

// WithHour adds the time of day: "2 January 2006, 15:04".
func (d Date) WithHour() Date {
	d.hour = true
	return d
}

// In implements Sayer.
func (d Date) In(w *Words) string {
	month := strconv.Itoa(int(d.at.Month()))
	name := Of("number.month." + month)
	if d.form == "brief" {
		name = Of("number.month-brief." + month)
	}
	var day any = d.at.Day()
	if day == 1 {
		day = Of("number.day.first", "n", 1) // French counts the first of a month, and no other day
	}
	date := w.Say("number.date."+d.form, "day", day, "month", name, "year", d.at.Year(),
		"weekday", Of("number.weekday."+strconv.Itoa(int(d.at.Weekday()))))
	if d.hour {
		return w.Say("number.date.with-hour", "date", date, "hour", Hour(d.at))
	}
	return date
}

func (d Date) String() string { return d.In(Here()) }

// Hour is a time of the day: "15:04".
func Hour(t time.Time) Sentence {
	return Of("number.hour", "hour", t.Format("15"), "minute", t.Format("04"))
}

// BriefWeekday is a day of the week in few letters: "Mon".
func BriefWeekday(d time.Weekday) Sentence {
	return Of("number.weekday-brief." + strconv.Itoa(int(d)))
}
