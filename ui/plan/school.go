package plan

import (
	"slices"

	"endpin/piece/fingerboard"
	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// school offers the schools that the piece may be fingered by, and says what the one is that
// it is fingered by now.
func (p *Plan) school() {
	all, now := p.desk.Schools()
	if len(all) == 0 {
		return
	}
	known := fingerboard.Schools()
	var names []string
	var of string
	for i, s := range all {
		name, about := words.Say("window.plan.school.own", "name", s.Name), ""
		if slices.ContainsFunc(known, func(k fingerboard.School) bool { return k.Kept() == s.Kept() }) {
			name, about = s.Name, words.Say("window.plan.school."+s.Name)
		}
		if names = append(names, name); i == now {
			of = about
		}
	}
	drop := prose.NewDrop(names, nil)
	drop.SetSelectedIndex(now)
	drop.OnChanged = func(string) {
		if i := drop.SelectedIndex(); i >= 0 && i != now {
			p.desk.TakeSchool(all[i])
		}
	}
	p.Items.Add(prose.Heading(words.Say("window.plan.school")))
	p.Items.Add(fit.Wide(drop, Width-fit.BesideBar))
	if of != "" {
		p.Items.Add(prose.Wrapped(of))
	}
}
