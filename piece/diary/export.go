package diary

import (
	"bufio"
	"context"
	"database/sql"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"endpin/piece/outside"
	"endpin/piece/words"
)

// What an export is made of.
const (
	exportVersion = 3
	exportRead    = 2 // the first that is read: mended came with the next
	exportJSON    = "diary.json"
	exportSounds  = "sounds"
)

// Export writes everything into a new or empty folder, twice: as diary.json, and
// as one CSV table each. Kept sound goes into sounds. Takes that cannot be read are
// left out; their number is given.
func (d *Diary) Export(folder string) (unread int, err error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return 0, elsewhere(folder, err)
	}
	if there, err := os.ReadDir(folder); err != nil || len(there) > 0 {
		if err == nil {
			err = words.Fault("diary.export.taken")
		}
		return 0, elsewhere(folder, err)
	}
	tx, err := d.db.BeginTx(context.Background(), &sql.TxOptions{ReadOnly: true}) // one moment of it
	if err != nil {
		return 0, d.named(err)
	}
	defer tx.Rollback()
	spoiled := map[int64]bool{}
	err = eachHeard(tx, func(take int64, _ int, wrong error) error {
		if wrong != nil {
			spoiled[take] = true
		}
		return nil
	})
	if err != nil {
		return 0, d.named(err)
	}
	of := without(spoiled)
	if err := exportTo(filepath.Join(folder, exportJSON), func(w *bufio.Writer) error { return writeJSON(of, tx, w) }); err != nil {
		return 0, d.exporting(folder, err)
	}
	for _, table := range tables {
		if err := exportTo(filepath.Join(folder, table+".csv"), func(w *bufio.Writer) error { return writeCSV(of, tx, table, w) }); err != nil {
			return 0, d.exporting(folder, err)
		}
	}
	for i := range packs {
		if err := exportTo(filepath.Join(folder, packs[i].file()), func(w *bufio.Writer) error { return packs[i].write(of, tx, w) }); err != nil {
			return 0, d.exporting(folder, err)
		}
	}
	return len(spoiled), d.exportSounds(tx, filepath.Join(folder, exportSounds))
}

// leftOut gives the rows of each table that are left out, as a condition.
type leftOut map[string]string

// without leaves takes out, and all that hangs on them.
func without(takes map[int64]bool) leftOut {
	if len(takes) == 0 {
		return nil
	}
	ids := make([]string, 0, len(takes))
	for id := range takes {
		ids = append(ids, fmt.Sprint(id))
	}
	all := strings.Join(ids, ", ")
	return leftOut{"takes": "id IN (" + all + ")", "hearings": "take IN (" + all + ")",
		"findings": "hearing IN (SELECT id FROM hearings WHERE take IN (" + all + "))", "digests": "hearing IN (SELECT id FROM hearings WHERE take IN (" + all + "))"}
}

// exporting says whether the diary or the folder is at fault.
func (d *Diary) exporting(folder string, err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return elsewhere(folder, err)
	}
	return d.named(err)
}

// elsewhere names a folder that is not the diary's.
func elsewhere(folder string, err error) error {
	if err == nil {
		return nil
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return words.Fault("diary.file", "file", folder, "err", err)
}

func exportTo(path string, write func(*bufio.Writer) error) error {
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

// writeJSON writes {"version": 1, "tables": {"players": [{"id": 1, …}, …], …}}.
func writeJSON(of leftOut, db asker, w *bufio.Writer) error {
	fmt.Fprintf(w, "{\"version\": %d, \"tables\": {", exportVersion)
	for i, table := range tables {
		cols, err := columnsOf(db, table)
		if err != nil {
			return err
		}
		if i > 0 {
			w.WriteString(",")
		}
		fmt.Fprintf(w, "\n%q: [", table)
		before := ""
		err = eachRow(of, db, table, cols, func(row []any) error {
			w.WriteString(before + "\n {")
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
					w.WriteString(", ")
				}
				fmt.Fprintf(w, "%q: %s", c.name, text)
			}
			w.WriteString("}")
			return nil
		})
		if err != nil {
			return err
		}
		w.WriteString("]")
	}
	_, err := w.WriteString("}}\n")
	return err
}

func writeCSV(of leftOut, db asker, table string, out io.Writer) error {
	all, err := columnsOf(db, table)
	if err != nil {
		return err
	}
	cols := withoutPacks(table, all)
	w := csv.NewWriter(out)
	if err := w.Write(strings.Split(list(cols), ", ")); err != nil {
		return err
	}
	cells := make([]string, len(cols))
	err = eachRow(of, db, table, cols, func(row []any) error {
		for i := range row {
			cells[i] = plainText(row[i])
		}
		return w.Write(cells)
	})
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
func (p *pack) write(of leftOut, db asker, out io.Writer) error {
	w := csv.NewWriter(out)
	if err := w.Write(p.head()); err != nil {
		return err
	}
	cols := []column{{p.key, "INTEGER"}, p.size(), {p.column, "BLOB"}}
	err := eachRow(of, db, p.table, cols, func(row []any) error {
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
	w.Flush()
	return errors.Join(err, w.Error())
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

// exportSounds copies the sounds of all takes, as far as they are there.
func (d *Diary) exportSounds(tx *sql.Tx, to string) error {
	sounds, err := d.openSounds()
	if err != nil {
		return err
	}
	defer sounds.close()
	needed, err := wanted(tx)
	if err != nil {
		return d.named(err)
	}
	for name := range needed {
		in, err := sounds.open(name)
		if err != nil {
			continue // check says so
		}
		if err = os.MkdirAll(to, 0o700); err == nil {
			err = exportTo(filepath.Join(to, name), func(w *bufio.Writer) error {
				_, err := io.Copy(w, in)
				return err
			})
		}
		in.Close()
		if err != nil {
			return elsewhere(to, err)
		}
	}
	return nil
}
