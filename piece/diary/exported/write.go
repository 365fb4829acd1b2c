package exported

import (
	"bufio"
	"database/sql"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"endpin/piece/outside"
)

// What an export is made of.
const (
	version   = 4
	firstRead = 2 // the first that is read
	asJSON    = "diary.json"
)

// Write writes all rows that are not left out into a folder, twice: as diary.json, and as one CSV
// table each.
func Write(of LeftOut, tx *sql.Tx, folder string) error {
	err := File(filepath.Join(folder, asJSON), func(w io.Writer) error { return writeJSON(of, tx, w) })
	for _, table := range tables {
		if err == nil {
			err = File(filepath.Join(folder, table+".csv"), func(w io.Writer) error { return writeCSV(of, tx, table, w) })
		}
	}
	for i := range packs {
		if err == nil {
			err = File(filepath.Join(folder, packs[i].file()), func(w io.Writer) error { return packs[i].write(of, tx, w) })
		}
	}
	return err
}

// File writes a new file, its owner's alone to read.
func File(path string, write func(io.Writer) error) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(file)
	err = write(w)
	if e := w.Flush(); err == nil {
		err = e
	}
	if e := file.Close(); err == nil {
		err = e
	}
	return err
}

// LeftOut gives the rows of each table that are left out, as a condition.
type LeftOut map[string]string

// Without leaves takes out, and all that hangs on them.
func Without(takes map[int64]bool) LeftOut {
	if len(takes) == 0 {
		return nil
	}
	ids := make([]string, 0, len(takes))
	for id := range takes {
		ids = append(ids, fmt.Sprint(id))
	}
	all := strings.Join(ids, ", ")
	heard := "hearing IN (SELECT id FROM hearings WHERE take IN (" + all + "))"
	return LeftOut{"takes": "id IN (" + all + ")", "hearings": "take IN (" + all + ")", "findings": heard, "digests": heard, "programs": heard}
}

// writeJSON writes {"version": 1, "tables": {"players": [{"id": 1, …}, …], …}}.
func writeJSON(of LeftOut, tx *sql.Tx, w io.Writer) error {
	fmt.Fprintf(w, "{\"version\": %d, \"tables\": {", version)
	for i, table := range tables {
		cols, err := columnsOf(tx, table)
		if err != nil {
			return err
		}
		if i > 0 {
			io.WriteString(w, ",")
		}
		fmt.Fprintf(w, "\n%q: [", table)
		before := ""
		err = eachRow(of, tx, table, cols, func(row []any) error {
			io.WriteString(w, before+"\n {")
			before = ","
			for k, c := range cols {
				v := row[k]
				if p := packOf(table, c); p != nil {
					size := int64(0)
					if p.deflated {
						size, _ = row[k+1].(int64)
					}
					if v, err = p.text(v, size); err != nil {
						return err
					}
				}
				text, err := json.Marshal(v)
				if err != nil {
					return err
				}
				if k > 0 {
					io.WriteString(w, ", ")
				}
				fmt.Fprintf(w, "%q: %s", c.name, text)
			}
			io.WriteString(w, "}")
			return nil
		})
		if err != nil {
			return err
		}
		io.WriteString(w, "]")
	}
	_, err := io.WriteString(w, "}}\n")
	return err
}

func writeCSV(of LeftOut, tx *sql.Tx, table string, out io.Writer) error {
	all, err := columnsOf(tx, table)
	if err != nil {
		return err
	}
	cols := withoutPacks(table, all)
	return rows(out, strings.Split(list(cols), ", "), func(w *csv.Writer) error {
		cells := make([]string, len(cols))
		return eachRow(of, tx, table, cols, func(row []any) error {
			for i := range row {
				cells[i] = plainText(row[i])
			}
			return w.Write(cells)
		})
	})
}

// rows writes a table of text.
func rows(out io.Writer, head []string, write func(*csv.Writer) error) error {
	w := csv.NewWriter(out)
	_ = w.Write(head)
	err := write(w)
	w.Flush()
	return errors.Join(err, w.Error())
}

// withoutPacks leaves what is packed to tables of their own.
func withoutPacks(table string, all []column) (cols []column) {
	for _, c := range all {
		if packOf(table, c) == nil {
			cols = append(cols, c)
		}
	}
	return cols
}

// write writes a row for each that is packed: its hearing, and its fields by
// their JSON names.
func (p *pack) write(of LeftOut, tx *sql.Tx, out io.Writer) error {
	cols := []column{{p.key, "INTEGER"}, p.size(), {p.column, "BLOB"}}
	return rows(out, p.head(), func(w *csv.Writer) error {
		return eachRow(of, tx, p.table, cols, func(row []any) error {
			size, _ := row[1].(int64)
			text, err := p.text(row[2], size)
			if err != nil {
				return err
			}
			lists := reflect.New(p.rows)
			if err := json.Unmarshal(text, lists.Interface()); err != nil {
				return err
			}
			v := lists.Elem()
			for i := range v.Field(0).Len() {
				cells := []string{plainText(row[0])}
				for f := range v.NumField() {
					cells = append(cells, cellOf(v.Field(f).Index(i)))
				}
				if err := w.Write(cells); err != nil {
					return err
				}
			}
			return nil
		})
	})
}

func cellOf(v reflect.Value) string {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return ""
		}
		v = v.Elem()
	}
	if v.Kind() == reflect.Float64 {
		return plainText(v.Float())
	}
	if v.Kind() == reflect.String {
		return outside.Cell(v.String())
	}
	return fmt.Sprint(v.Interface())
}
