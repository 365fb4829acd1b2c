package diary

import (
	"bufio"
	"database/sql"
	"encoding/base64"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
)

// Import reads an export back into a diary that is still empty, whole or not at
// all: from diary.json where there is one, else from the CSV tables. The diary is
// then the same as the one exported.
func (d *Diary) Import(folder string) error {
	var takes int
	if err := d.db.QueryRow(`SELECT count(*) FROM players`).Scan(&takes); err != nil {
		return d.named(err)
	}
	if takes > 0 {
		return d.named(tell("an export is read into an empty diary only, and this one has players: name a new file with --diary"))
	}
	info, err := os.Stat(folder)
	if err != nil {
		return outside(folder, err)
	}
	file := folder
	if info.IsDir() {
		file = filepath.Join(folder, exportJSON)
	} else {
		folder = filepath.Dir(folder)
	}
	err = d.write(func(tx *sql.Tx) error {
		if _, err := tx.Exec(`DELETE FROM settings`); err != nil {
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
		if err := whole(tx); err != nil {
			return err
		}
		return copyFolder(filepath.Join(folder, exportSounds), d.Sounds())
	})
	return err
}

// importing reads one file of an export and names it where it is at fault.
func importing(path string, read func(io.Reader) error) error {
	file, err := os.Open(path)
	if err != nil {
		return outside(path, err)
	}
	defer file.Close()
	if err := read(bufio.NewReader(file)); err != nil {
		return fmt.Errorf("%s cannot be read back: %w", path, err)
	}
	return nil
}

var errNoExport = errors.New("it is no export of a diary")

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
	if err := expect(json.Delim('{'), "version"); err != nil {
		return err
	}
	var version int
	if err := d.Decode(&version); err != nil {
		return errNoExport
	}
	if version > exportVersion {
		return fmt.Errorf("a later Endpin wrote it (version %d, this program knows %d): use that one", version, exportVersion)
	}
	if version < exportVersion {
		return fmt.Errorf("an earlier Endpin wrote it (version %d, this program reads %d): open the diary itself with this one, which carries it forward, and export it again", version, exportVersion)
	}
	if err := expect("tables", json.Delim('{')); err != nil {
		return err
	}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		table, _ := name.(string)
		if !slices.Contains(tables, table) {
			return fmt.Errorf("it has a table %v that this program does not know", name)
		}
		if err := expect(json.Delim('[')); err != nil {
			return err
		}
		if err := readTable(tx, table, d); err != nil {
			return fmt.Errorf("in %s: %w", table, err)
		}
		if err := expect(json.Delim(']')); err != nil {
			return err
		}
	}
	return expect(json.Delim('}'), json.Delim('}'))
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
		args := make([]any, len(cols))
		for i, c := range cols {
			text, there := row[c.name]
			if !there {
				return fmt.Errorf("a row has no %s", c.name)
			}
			if p := packOf(table, c); p != nil {
				if args[i], err = p.value(text); err != nil {
					return err
				}
				continue
			}
			if args[i], err = fromJSON(c, text); err != nil {
				return fmt.Errorf("%s: %w", c.name, err)
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
		err := importing(filepath.Join(folder, table+".csv"), func(r io.Reader) error { return readCSVTable(tx, table, r, packed) })
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
	head, err := in.Read()
	if err != nil {
		return errNoExport
	}
	place := map[string]int{}
	for i, name := range head {
		place[name] = i
	}
	for _, c := range withoutPacks(table, all) {
		if _, there := place[c.name]; !there {
			return fmt.Errorf("it has no column %s", c.name)
		}
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
		args := make([]any, len(all))
		for i, c := range all {
			if p := packOf(table, c); p != nil {
				id, err := strconv.ParseInt(cells[place[p.key]], 10, 64)
				if err != nil {
					return err
				}
				text, there := packed[p.column][id]
				if !there {
					text, _ = json.Marshal(reflect.New(p.rows).Interface())
				}
				if args[i], err = p.value(text); err != nil {
					return err
				}
				continue
			}
			if args[i], err = valueOf(c, cells[place[c.name]]); err != nil {
				line, _ := in.FieldPos(place[c.name])
				return fmt.Errorf("line %d: %s: %w", line, c.name, err)
			}
		}
		if _, err := insert.Exec(args...); err != nil {
			return err
		}
	}
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
				return fmt.Errorf("line %d: %w", line, err)
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
		v.SetString(text)
		return v, nil
	}
	return v, json.Unmarshal([]byte(text), v.Addr().Interface())
}
