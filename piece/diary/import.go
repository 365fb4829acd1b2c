package diary

import (
	"bufio"
	"database/sql"
	"encoding/base64"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"endpin/piece/outside"
	"endpin/piece/words"
)

// Import reads an export back into a diary that is still empty, whole or not at
// all: from diary.json where there is one, else from the CSV tables. The diary is
// then the same as the one exported, and what a check would refuse is not read.
// Takes whose sound the export no longer has stand without it; their number is given.
func (d *Diary) Import(folder string) (soundless int, err error) {
	var takes int
	if err := d.db.QueryRow(`SELECT count(*) FROM players`).Scan(&takes); err != nil {
		return 0, d.named(err)
	}
	if takes > 0 {
		return 0, d.named(words.Fault("diary.import.taken"))
	}
	info, err := os.Stat(folder)
	if err != nil {
		return 0, elsewhere(folder, err)
	}
	file := folder
	if info.IsDir() {
		file = filepath.Join(folder, exportJSON)
	} else {
		folder = filepath.Dir(folder)
	}
	var kept []*keeping
	defer func() {
		for _, k := range kept {
			k.undo()
		}
	}()
	err = d.write(func(tx *sql.Tx) error {
		if _, err := tx.Exec(`PRAGMA defer_foreign_keys = 1; DELETE FROM settings`); err != nil { // tables may stand in any order
			return err
		}
		var read error
		if _, err := os.Stat(file); err == nil {
			read = importing(file, func(r io.Reader) error { return readJSON(tx, r) })
		} else {
			read = readCSV(tx, folder)
		}
		if read != nil {
			return read
		}
		if _, err := tx.Exec(`DELETE FROM settings WHERE name GLOB 'leaving *'`); err != nil {
			return err
		}
		if _, err := looked(tx); err != nil {
			return words.Fault("diary.import.failed", "file", folder, "err", words.Told(err))
		}
		kept, soundless, err = d.importSounds(tx, filepath.Join(folder, exportSounds))
		return err
	})
	if err != nil {
		return 0, err
	}
	for _, k := range kept {
		if err := k.stands(); err != nil {
			return 0, err
		}
	}
	return soundless, nil
}

// importSounds keeps the sound of the takes just read. One that is not there is let go.
func (d *Diary) importSounds(tx *sql.Tx, from string) (kept []*keeping, missing int, err error) {
	sounds, err := openSoundsIn(from)
	if err != nil {
		return nil, 0, err
	}
	defer sounds.close()
	needed, err := wanted(tx)
	if err != nil {
		return nil, 0, err
	}
	for name := range needed {
		content, _, _ := strings.Cut(name, ".")
		in, err := sounds.open(name)
		if err != nil {
			missing++
			if _, err := tx.Exec(`UPDATE takes SET sound = '', sound_bytes = 0 WHERE content = ?`, content); err != nil {
				return kept, 0, err
			}
			continue
		}
		info, err := in.Stat()
		if err == nil && !sounds.holds(name, name) {
			err = words.Fault("diary.import.other-sound", "file", filepath.Join(from, name))
		}
		if err == nil {
			var k *keeping
			if k, err = d.keep(content, &Sound{Name: name, Size: info.Size(), Data: in}); err == nil {
				kept = append(kept, k)
			}
		}
		in.Close()
		if err != nil {
			return kept, 0, err
		}
	}
	return kept, missing, nil
}

// importing reads one file of an export and names it where it is at fault.
func importing(path string, read func(io.Reader) error) error {
	file, err := os.Open(path)
	if err != nil {
		return elsewhere(path, err)
	}
	defer file.Close()
	if err := read(bufio.NewReader(file)); err != nil {
		return words.Fault("diary.import.failed", "file", path, "err", err)
	}
	return nil
}

var errNoExport = words.Fault("diary.import.no-export")

func readJSON(tx *sql.Tx, r io.Reader) error {
	d := json.NewDecoder(r)
	d.UseNumber()
	expect := func(tokens ...json.Token) error {
		for _, want := range tokens {
			got, err := d.Token()
			if err != nil || got != want {
				return errNoExport
			}
		}
		return nil
	}
	if err := expect(json.Delim('{')); err != nil {
		return err
	}
	var version int
	for d.More() {
		key, err := d.Token()
		switch {
		case err != nil:
			return errNoExport
		case key == "version":
			if err := d.Decode(&version); err != nil {
				return errNoExport
			}
			if err := knows(version); err != nil {
				return err
			}
		case key == "tables":
			if err := readTables(tx, d, expect); err != nil {
				return err
			}
		default:
			return errNoExport
		}
	}
	if version == 0 {
		return errNoExport
	}
	return expect(json.Delim('}'))
}

// knows says that this program reads exports of a version.
func knows(version int) error {
	switch {
	case version > exportVersion:
		return words.Fault("diary.import.later", "version", version, "known", exportVersion)
	case version < exportRead:
		return words.Fault("diary.import.earlier", "version", version, "known", exportVersion)
	}
	return nil
}

// readTables reads the tables, in whatever order they stand.
func readTables(tx *sql.Tx, d *json.Decoder, expect func(...json.Token) error) error {
	if err := expect(json.Delim('{')); err != nil {
		return err
	}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		table, _ := name.(string)
		if !slices.Contains(tables, table) {
			return words.Fault("diary.import.table-unknown", "table", words.QuotedHead(table, mostTold))
		}
		if err := expect(json.Delim('[')); err != nil {
			return err
		}
		if err := readTable(tx, table, d); err != nil {
			return words.Fault("diary.import.table", "table", table, "err", err)
		}
		if err := expect(json.Delim(']')); err != nil {
			return err
		}
	}
	return expect(json.Delim('}'))
}

// readTable reads the rows of one table.
func readTable(tx *sql.Tx, table string, d *json.Decoder) error {
	cols, err := columnsOf(tx, table)
	if err != nil {
		return err
	}
	insert, err := inserting(tx, table, cols)
	if err != nil {
		return err
	}
	defer insert.Close()
	for d.More() {
		var row map[string]json.RawMessage
		if err := d.Decode(&row); err != nil {
			return err
		}
		args, size := make([]any, len(cols)), 0
		for i, c := range cols {
			text, there := row[c.name]
			if !there {
				return words.Fault("diary.import.no-value", "column", c.name)
			}
			p := packOf(table, c)
			switch {
			case p != nil:
				args[i], size, err = p.value(text)
			case i > 0 && sizes(table, cols[i-1], c):
				args[i] = size
			default:
				args[i], err = fromJSON(c, text)
			}
			if err != nil {
				return words.Fault("diary.import.column", "column", c.name, "err", err)
			}
		}
		if _, err := insert.Exec(args...); err != nil {
			return err
		}
	}
	return nil
}

func fromJSON(c column, text json.RawMessage) (any, error) {
	if string(text) == "null" {
		return nil, nil
	}
	switch c.kind {
	case "INTEGER", "REAL":
		return valueOf(c, string(text))
	}
	var s string
	if err := json.Unmarshal(text, &s); err != nil {
		return nil, err
	}
	if c.kind == "BLOB" {
		return base64.StdEncoding.DecodeString(s)
	}
	return s, nil
}

// LooksExported tells whether a folder, or a file, can be an export of a diary at all, so
// that no diary is made for what is none. The error names the mend.
func LooksExported(path string) error {
	for _, name := range []string{"", exportJSON, tables[0] + ".csv"} {
		if info, err := os.Stat(filepath.Join(path, name)); err == nil && !info.IsDir() {
			return nil
		}
	}
	return words.Fault("diary.import.none", "folder", path)
}

func readCSV(tx *sql.Tx, folder string) error {
	packed := map[string]map[int64][]byte{} // by column and hearing: JSON by field
	for i := range packs {
		p := &packs[i]
		packed[p.column] = map[int64][]byte{}
		if err := importing(filepath.Join(folder, p.file()), func(r io.Reader) error { return p.read(r, packed[p.column]) }); err != nil {
			return err
		}
	}
	for _, table := range tables {
		file := filepath.Join(folder, table+".csv")
		if _, err := os.Stat(file); table == "mended" && errors.Is(err, fs.ErrNotExist) {
			continue // of an export before it
		}
		err := importing(file, func(r io.Reader) error { return readCSVTable(tx, table, r, packed) })
		if err != nil {
			return err
		}
	}
	return nil
}

func readCSVTable(tx *sql.Tx, table string, r io.Reader, packed map[string]map[int64][]byte) error {
	all, err := columnsOf(tx, table)
	if err != nil {
		return err
	}
	in := csv.NewReader(r)
	in.ReuseRecord = true
	place, err := placesIn(in, withoutPacks(table, all))
	if err != nil {
		return err
	}
	insert, err := inserting(tx, table, all)
	if err != nil {
		return err
	}
	defer insert.Close()
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		args, size := make([]any, len(all)), 0
		for i, c := range all {
			switch p := packOf(table, c); {
			case p != nil:
				args[i], size, err = p.of(packed[p.column], cells[place[p.key]])
			case i > 0 && sizes(table, all[i-1], c):
				args[i] = size
			default:
				if args[i], err = valueOf(c, cells[place[c.name]]); err != nil {
					line, _ := in.FieldPos(place[c.name])
					err = words.Fault("diary.import.line.column", "line", line, "column", c.name, "err", err)
				}
			}
			if err != nil {
				return err
			}
		}
		if _, err := insert.Exec(args...); err != nil {
			return err
		}
	}
}

// placesIn reads the head of a table: where each column stands. All that are needed do.
func placesIn(in *csv.Reader, needed []column) (map[string]int, error) {
	head, err := in.Read()
	if err != nil {
		return nil, errNoExport
	}
	place := map[string]int{}
	for i, name := range head {
		place[name] = i
	}
	for _, c := range needed {
		if _, there := place[c.name]; !there {
			return nil, words.Fault("diary.import.no-column", "column", c.name)
		}
	}
	return place, nil
}

// of is what is packed for one row, by its key, and how large it is unpacked.
func (p *pack) of(packed map[int64][]byte, key string) (value any, size int, err error) {
	id, err := strconv.ParseInt(key, 10, 64)
	if err != nil {
		return nil, 0, err
	}
	text, there := packed[id]
	if !there {
		text, _ = json.Marshal(reflect.New(p.rows).Interface())
	}
	return p.value(text)
}

// read reads what is packed for every hearing, whose rows stand together.
func (p *pack) read(r io.Reader, packed map[int64][]byte) error {
	in := csv.NewReader(r)
	in.ReuseRecord = true
	head, err := in.Read()
	if err != nil || !slices.Equal(head, p.head()) {
		return errNoExport
	}
	lists := reflect.New(p.rows).Elem()
	var hearing int64
	file := func() error {
		if lists.Field(0).Len() == 0 {
			return nil
		}
		text, err := json.Marshal(lists.Interface())
		packed[hearing] = text
		lists.SetZero()
		return err
	}
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return file()
		}
		if err != nil {
			return err
		}
		id, err := strconv.ParseInt(cells[0], 10, 64)
		if err == nil && id != hearing {
			err = file()
			hearing = id
		}
		if err != nil {
			return err
		}
		for f := range lists.NumField() {
			cell, err := fromCell(lists.Field(f).Type().Elem(), cells[1+f])
			if err != nil {
				line, _ := in.FieldPos(1 + f)
				return words.Fault("diary.import.line", "line", line, "err", err)
			}
			lists.Field(f).Set(reflect.Append(lists.Field(f), cell))
		}
	}
}

// fromCell reads a field of a row.
func fromCell(t reflect.Type, text string) (reflect.Value, error) {
	v := reflect.New(t).Elem()
	if t.Kind() == reflect.Pointer {
		if text == "" {
			return v, nil
		}
		v.Set(reflect.New(t.Elem()))
		inner, err := fromCell(t.Elem(), text)
		v.Elem().Set(inner)
		return v, err
	}
	if t.Kind() == reflect.String {
		v.SetString(outside.OfCell(text))
		return v, nil
	}
	return v, json.Unmarshal([]byte(text), v.Addr().Interface())
}
