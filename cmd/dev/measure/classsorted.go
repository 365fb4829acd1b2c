package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"endpin/piece/class"
	"endpin/piece/pupil"
	"endpin/piece/trend"
)

// A class that is sorted: thirty students, each week a recording from each, of one of three pieces
// in turn, and six files that are none.
const (
	sortedWeeks  = 4
	sortedPieces = 3
)

var sortedRoster = []string{"Anna Müller", "Ana Muñoz García", "Zoë van Dijk", "Finn O'Leary", "Łukasz Wójcik", "Anne-Marie Dubois", "Søren Ørsted", "İrem Yılmaz", "Mai Nguyễn",
	"Анна Петрова", "Νίκος Παππάς", "李小龙", "김민준", "佐藤 美咲", "محمد علي", "אורי לוי", "मीरा शर्मा", "Ben Okafor", "Ben Roth", "Maria de la Cruz", "Ed Li", "Tom Bass", "Lea Martin",
	"João Gonçalves", "Ádám Kovács", "Şebnem Öztürk", "Kateřina Dvořáková", "Chloé Lefèvre", "Giulia D'Amico", "Noor Haddad"}

// sortedNames are the ways in which a file is called: %[1]s is the whole name, %[2]s the same
// without accents, %[3]s the piece, %[4]d a number, %[5]s the day.
var sortedNames = []string{"%[1]s %[5]s", "Devoir de %[1]s", "tarea %[1]s", "%[1]s Übung %[4]d", "%[1]s Woche %[4]d", "Etude %[1]s take%[4]d", "%[1]s_violoncelle_lecon%[4]d", "%[1]s hausaufgabe",
	"Bass HW - %[1]s (%[4]d)", "%[5]s %[1]s", "%[2]s %[5]s", "%[3]s - %[1]s", "%[1]s - %[3]s", "huiswerk %[1]s les %[4]d", "compito %[1]s", "%[1]s dever semana %[4]d", "zadanie domowe %[1]s",
	"%[1]s ödevi", "Домашнее задание %[1]s", "Εργασία %[1]s", "作业 %[1]s", "%[1]s 숙제", "%[1]s 宿題", "واجب %[1]s", "שיעורי בית %[1]s", "Copy of %[1]s - Copy", "[Homework] %[1]s", "recording from %[1]s",
	"WhatsApp Audio %[5]s at 18.30.11 %[1]s", "%[1]s week %[4]d final", "%[1]s v%[4]d", "%[2]s hw %[4]d", "IMG_203%[4]d - %[1]s", "Period %[4]d - %[1]s", "%[1]s läxa", "%[1]s cvičení %[4]d"}

// measureSorted hears a class of a hundred and twenty recordings of three pieces over four weeks
// and counts those that came to their student, piece and week; then the same folder again.
func measureSorted(o options, folder, endpin string) error {
	rng := rand.New(rand.NewSource(o.seed))
	var pieces, titles []string
	var sounds [sortedPieces][]string
	for k := range sortedPieces {
		tune := pupil.Compose(pupil.Style{Marked: true, Measures: 12}, o.seed*100+int64(k)*17)
		for i := range 4 {
			t := trial{name: fmt.Sprintf("piece %d take %d", k+1, i+1), tune: tune, voice: bowed, room: rooms[0], level: pupil.Intermediate}
			t.out = pupil.Player{Tune: tune, Scatter: pupil.Careful, Seed: o.seed*1000 + int64(10*k+i)}.Play()
			if err := t.render(folder); err != nil {
				return err
			}
			if sounds[k] = append(sounds[k], t.wav); i == 0 {
				file := filepath.Join(folder, fmt.Sprintf("Piece %s.abc", string(rune('A'+k))))
				data, err := os.ReadFile(t.piece())
				if err != nil {
					return err
				}
				file = strings.TrimSuffix(file, ".abc") + filepath.Ext(t.piece())
				if err := os.WriteFile(file, data, 0o600); err != nil {
					return err
				}
				pieces = append(pieces, file)
			}
		}
		titles = append(titles, fmt.Sprintf("Piece %s", string(rune('A'+k))))
	}
	type place struct{ student, piece, week string }
	truth := map[string]place{}
	in := filepath.Join(folder, "sorted")
	if err := os.Mkdir(in, 0o700); err != nil {
		return err
	}
	phones := slices.DeleteFunc(slices.Clone(passages), func(p passage) bool {
		return strings.Contains(p.name, "staircase") || strings.Contains(p.name, "hall") || strings.Contains(p.name, "silence") || strings.Contains(p.name, "GSM")
	})
	sent := map[string]string{}
	now := time.Now()
	for w := range sortedWeeks {
		for s, student := range sortedRoster {
			k := (s + w) % sortedPieces
			from := sounds[k][rng.Intn(len(sounds[k]))]
			phone := phones[(s*sortedWeeks+w)%len(phones)]
			id := from + phone.name
			if sent[id] == "" {
				file, err := phone.take(from)
				if err != nil {
					return fmt.Errorf("%s: %w", phone.name, err)
				}
				sent[id] = file
			}
			played := trend.Monday(now).AddDate(0, 0, -7*w).Add(-40 * time.Hour) // a Saturday
			pattern := sortedNames[(s*7+w*11)%len(sortedNames)]
			for strings.Contains(pattern, "%[2]s") && !plainly(student) {
				pattern = sortedNames[rng.Intn(len(sortedNames))]
			}
			name := fmt.Sprintf(pattern+"%.0[1]s%.0[2]s%.0[3]s%.0[5]s", student, withoutAccents(student), titles[k], w+1, played.Format(time.DateOnly))
			name, _, _ = strings.Cut(name, "%!")
			path := filepath.Join(in, name+filepath.Ext(sent[id]))
			for n := 2; truth[filepath.Base(path)] != (place{}); n++ {
				path = filepath.Join(in, fmt.Sprintf("%s (%d)%s", name, n, filepath.Ext(sent[id])))
			}
			data, err := os.ReadFile(sent[id])
			if err != nil {
				return err
			}
			if err := os.WriteFile(path, data, 0o600); err != nil {
				return err
			}
			if err := os.Chtimes(path, played, played); err != nil {
				return err
			}
			truth[filepath.Base(path)] = place{student, filepath.Base(pieces[k]), trend.Monday(played).Format(time.DateOnly)}
		}
	}
	for name, data := range badFiles(sounds[0][0]) {
		if err := os.WriteFile(filepath.Join(in, name), data, 0o600); err != nil {
			return err
		}
	}
	roster := filepath.Join(folder, "roster.csv")
	if err := os.WriteFile(roster, []byte(strings.Join(sortedRoster, "\n")+"\n"), 0o600); err != nil {
		return err
	}
	answer := filepath.Join(folder, "sorted.json")
	run := slices.Concat([]string{endpin, "class"}, pieces, []string{in, "--out", filepath.Join(folder, "sorted sheet"), "--roster", roster, "--weeks", "--json", answer})
	first, _, peak, err := once(run...)
	if err != nil {
		return err
	}
	again, _, _, err := once(run...)
	if err != nil {
		return err
	}
	var told class.Term
	data, err := os.ReadFile(answer)
	if err == nil {
		err = json.Unmarshal(data, &told)
	}
	if err != nil {
		return err
	}
	var sorted share // by student
	right, asked, wrong := 0, 0, []string{}
	seen := map[string]bool{}
	for k, s := range told.Sheets {
		for i := range s.Students {
			for _, t := range s.Students[i].Takes {
				want, known := truth[t.Recording]
				at, _ := time.Parse(time.RFC3339, t.PlayedAt)
				got := place{s.Students[i].Name, filepath.Base(pieces[k]), trend.Monday(at.In(now.Location())).Format(time.DateOnly)}
				switch {
				case !known:
				case got == want && t.Status == class.Heard:
					right++
					seen[t.Recording] = true
				case t.Status == class.Heard:
					wrong = append(wrong, fmt.Sprintf("%s: %v, not %v", t.Recording, got, want))
					seen[t.Recording] = true
				}
			}
		}
	}
	for _, q := range told.Questions {
		if _, known := truth[q.File]; known {
			asked++
			seen[q.File] = true
			wrong = append(wrong, fmt.Sprintf("asked: %s (perhaps %v)", q.File, q.Perhaps))
		}
	}
	for name := range truth {
		if !seen[name] {
			wrong = append(wrong, "not heard: "+name)
		}
	}
	for name, p := range truth {
		sorted.see(p.student, seen[name] && !slices.ContainsFunc(wrong, func(w string) bool { return strings.Contains(w, name) }))
	}
	slices.Sort(wrong)
	fmt.Fprintf(o.out, "A class of %d recordings of %d pieces over %d weeks, in %d formats and %d ways of naming, and six files that are none\n",
		len(truth), sortedPieces, sortedWeeks, len(phones), len(sortedNames))
	misplaced := len(wrong) - asked - countPrefix(wrong, "not heard")
	fmt.Fprintf(o.out, "  to their student, piece and week  %d of %d (reach 98 of 100)  %s\n", right, len(truth), sorted)
	fmt.Fprintf(o.out, "  to another without a question     %d (reach 0); asked %d, not heard %d\n", misplaced, asked, countPrefix(wrong, "not heard"))
	for _, w := range wrong {
		fmt.Fprintf(o.out, "    %s\n", w)
	}
	fmt.Fprintf(o.out, "  first %.1f s, the same folder again %.1f s (reach 5), %.0f MB\n\n", first.Seconds(), again.Seconds(), peak)
	return nil
}

func countPrefix(all []string, begin string) (n int) {
	for _, s := range all {
		if strings.HasPrefix(s, begin) {
			n++
		}
	}
	return n
}

// plainly reports whether a name may be written without accents and read all the same.
func plainly(name string) bool {
	for _, r := range name {
		if r > 0x24F && r != 'ễ' {
			return false
		}
	}
	return true
}

var accents = strings.NewReplacer("ü", "ue", "ñ", "n", "í", "i", "ë", "e", "Ł", "L", "ó", "o", "ø", "o", "Ø", "O", "İ", "I", "ı", "i", "ễ", "e", "ã", "a", "ç", "c", "Á", "A", "á", "a",
	"Ş", "S", "Ö", "O", "ř", "r", "é", "e", "è", "e", "á", "a", "ö", "o", "ü", "u")

func withoutAccents(name string) string { return strings.ToLower(accents.Replace(name)) }

// badFiles are six that are no recordings of the class: empty, a text, silence, one cut off in its
// header, noise, and one that nobody can be meant by.
func badFiles(take string) map[string][]byte {
	data, _ := os.ReadFile(take)
	silence, noise := append([]byte{}, data...), append([]byte{}, data...)
	for i := 44; i < len(silence); i++ {
		silence[i] = 0
		noise[i] = byte(rand.New(rand.NewSource(int64(i))).Intn(40))
	}
	return map[string][]byte{"Ben Roth empty.m4a": nil, "Tom Bass note.m4a": []byte("I am ill."), "Lea Martin quiet.wav": bytes.Clone(silence), "Ed Li cut.wav": data[:30],
		"Noor Haddad noise.wav": noise, "IMG_9999.wav": data}
}
