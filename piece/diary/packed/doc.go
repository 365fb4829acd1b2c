// Package packed is what a diary keeps in one value: notes, landings, measures and open
// strings of a hearing, one list for each field.
//
//	finding.Hearing ── Pack, MeasuresOf, StringsOf ──> a row of the diary ── Unpack, Read, EachTold ──> what is told from it
//
// A month of landings is then some hundreds of rows and not tens of thousands, since
// handing over a row costs more than what stands in it. Read Landings first.
package packed
