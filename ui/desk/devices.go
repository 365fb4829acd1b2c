package desk

// Devices gives the names of what hears and of what plays, the system's own
// choice first. Trouble is said on the desk.
func (d *Desk) Devices() (ins, outs []string) {
	if d.means.Card == nil {
		return nil, nil
	}
	all, err := d.means.Card.Devices()
	if err != nil {
		d.Say(sentence(err))
	}
	for _, x := range all {
		if x.Inputs > 0 {
			ins = append(ins, x.Name)
		}
		if x.Outputs > 0 {
			outs = append(outs, x.Name)
		}
	}
	return ins, outs
}
