package exported

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

// Read reads an export into a diary that is still empty: a JSON file, or from a folder diary.json
// where there is one, else the CSV tables. Tables may refer to later ones until all are read.
func Read(tx *sql.Tx, path string) error {
	folder, file := path, filepath.Join(path, asJSON)
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		folder, file = filepath.Dir(path), path
	}
	if _, err := os.Stat(file); err != nil {
		return readCSV(tx, folder)
	}
	return importing(file, func(r io.Reader) error { return readJSON(tx, r) })
}

// Looks tells whether a folder, or a file, can be an export of a diary at all, so
// that no diary is made for what is none. The error names the mend.
func Looks(path string) error {
	for _, name := range []string{"", asJSON, tables[0] + ".csv"} {
		if info, err := os.Stat(filepath.Join(path, name)); err == nil && !info.IsDir() {
			return nil
		}
	}
	return words.Fault("diary.import.none", "folder", path)
}

// mostNamed is how much of a name that is none is told, in characters.
const mostNamed = 80

// importing reads one file of an export and names it where it is at fault.
func importing(path string, read func(io.Reader) error) error {
	file, err := os.Open(path)
	if err != nil {
		return err
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
	var this int
	for d.More() {
		key, err := d.Token()
		switch {
		case err != nil:
			return errNoExport
		case key == "version":
			if err := d.Decode(&this); err != nil {
				return errNoExport
			}
			if err := knows(this); err != nil {
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
	if this == 0 {
		return errNoExport
	}
	return expect(json.Delim('}'))
}

// knows says that this program reads exports of a version.
func knows(this int) error {
	switch {
	case this > version:
		return words.Fault("diary.import.later", "version", this, "known", version)
	case this < firstRead:
		return words.Fault("diary.import.earlier", "version", this, "known", version)
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
			return words.Fault("diary.import.table-unknown", "table", words.QuotedHead(table, mostNamed))
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
	f, err := fill(tx, table)
	if err != nil {
		return err
	}
	defer f.insert.Close()
	for d.More() {
		var row map[string]json.RawMessage
		if err := d.Decode(&row); err != nil {
			return err
		}
		for _, c := range f.cols {
			if _, there := row[c.name]; !there {
				return words.Fault("diary.import.no-value", "column", c.name)
			}
		}
		err := f.row(func(p *pack) (any, int, error) { return p.value(row[p.column]) }, func(c column) (any, error) { return fromJSON(c, row[c.name]) },
			func(c column, err error) error {
				return words.Fault("diary.import.column", "column", c.name, "err", err)
			})
		if err != nil {
			return err
		}
	}
	return nil
}

// filling is a table that rows are put into.
type filling struct {
	table  string
	cols   []column
	insert *sql.Stmt
}

func fill(tx *sql.Tx, table string) (f filling, err error) {
	f.table = table
	if f.cols, err = columnsOf(tx, table); err == nil {
		f.insert, err = tx.Prepare(`INSERT INTO ` + table + ` (` + list(f.cols) + `) VALUES (?` + strings.Repeat(",?", len(f.cols)-1) + `)`)
	}
	return f, err
}

// row puts in a row of which is given what is packed, with its size, which the next column holds,
// and what is not, and how it is told that a column cannot be read.
func (f *filling) row(packed func(*pack) (any, int, error), plain func(column) (any, error), told func(column, error) error) error {
	args, size := make([]any, len(f.cols)), 0
	for i, c := range f.cols {
		var err error
		switch p := packOf(f.table, c); {
		case p != nil:
			args[i], size, err = packed(p)
		case i > 0 && sizes(f.table, f.cols[i-1], c):
			args[i] = size
		default:
			args[i], err = plain(c)
		}
		if err != nil {
			return told(c, err)
		}
	}
	_, err := f.insert.Exec(args...)
	return err
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
		file := filepath.Join(folder, table+".csv")
		if _, err := os.Stat(file); slices.Contains(later, table) && errors.Is(err, fs.ErrNotExist) {
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
	f, err := fill(tx, table)
	if err != nil {
		return err
	}
	defer f.insert.Close()
	in := csv.NewReader(r)
	in.ReuseRecord = true
	place, err := placesIn(in, withoutPacks(table, f.cols))
	if err != nil {
		return err
	}
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return nil
		}
		if err == nil {
			err = f.row(func(p *pack) (any, int, error) { return p.of(packed[p.column], cells[place[p.key]]) },
				func(c column) (any, error) { return valueOf(c, cells[place[c.name]]) },
				func(c column, err error) error {
					line, _ := in.FieldPos(0)
					return words.Fault("diary.import.line.column", "line", line, "column", c.name, "err", err)
				})
		}
		if err != nil {
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
