package exported

import (
	"database/sql"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"endpin/piece/diary/packed"
	"endpin/piece/outside"
)

// tables are those of a diary, each after the ones that it refers to.
var tables = []string{"settings", "players", "pieces", "copies", "shifts", "takes", "hearings", "findings", "digests", "mended", "programs"}

// later are those that the first export that is read had not yet.
var later = []string{"mended", "programs"}

// column is one of a table's.
type column struct {
	name string
	kind string // INTEGER, REAL, TEXT or BLOB
}

// columnsOf lists the columns of a table.
func columnsOf(tx *sql.Tx, table string) ([]column, error) {
	rows, err := tx.Query(`SELECT name, type FROM pragma_table_info(?) ORDER BY cid`, table)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []column
	for rows.Next() {
		var c column
		if err := rows.Scan(&c.name, &c.kind); err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, rows.Err()
}

// eachRow hands over every row of a table that is not left out, in the order of its key, as SQLite's
// own values.
func eachRow(of LeftOut, tx *sql.Tx, table string, cols []column, take func(row []any) error) error {
	where := ""
	if out := of[table]; out != "" {
		where = " WHERE NOT " + out
	}
	rows, err := tx.Query(`SELECT ` + list(cols) + ` FROM ` + table + where + ` ORDER BY 1, 2, 3, 4`[:order(len(cols))])
	if err != nil {
		return err
	}
	defer rows.Close()
	row, into := make([]any, len(cols)), make([]any, len(cols))
	for i := range row {
		into[i] = &row[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if err := take(row); err != nil {
			return err
		}
	}
	return rows.Err()
}

// order is how much of " ORDER BY 1, 2, 3, 4" a table of so many columns takes.
func order(columns int) int { return len(" ORDER BY 1") + 3*(min(columns, 4)-1) }

func list(cols []column) string {
	names := make([]string, len(cols))
	for i, c := range cols {
		names[i] = c.name
	}
	return strings.Join(names, ", ")
}

// pack is a column that holds rows of their own, as JSON with one list for each
// field. JSON exports have that JSON, CSV exports a table of its rows.
type pack struct {
	table, column, key string // key is the column that names the table's rows
	deflated           bool
	rows               reflect.Type // of the lists
}

var packs = []pack{
	{"hearings", "notes", "id", true, reflect.TypeFor[packed.Notes]()},
	{"digests", "landings", "hearing", false, reflect.TypeFor[packed.Landings]()},
	{"digests", "measures", "hearing", false, reflect.TypeFor[packed.Measures]()},
	{"digests", "open_strings", "hearing", false, reflect.TypeFor[packed.Strings]()},
}

// packOf finds the pack that a column is, nil for none.
func packOf(table string, c column) *pack {
	for i := range packs {
		if packs[i].table == table && packs[i].column == c.name {
			return &packs[i]
		}
	}
	return nil
}

// sizes reports whether a column is the size of the one before it, inflated.
func sizes(table string, before, c column) bool {
	p := packOf(table, before)
	return p != nil && p.size() == c
}

// text is the JSON of a value of the column; size is what it takes inflated.
func (p *pack) text(v any, size int64) (json.RawMessage, error) {
	if !p.deflated {
		text, _ := v.(string)
		return json.RawMessage(text), nil
	}
	deflated, _ := v.([]byte)
	return packed.Inflate(deflated, int(size))
}

// value makes the column's value of the JSON, as this program writes it whoever wrote
// the JSON, and tells how long it is before it is deflated.
func (p *pack) value(text []byte) (value any, size int, err error) {
	lists := reflect.New(p.rows).Interface()
	if err := json.Unmarshal(text, lists); err != nil {
		return nil, 0, err
	}
	own, err := json.Marshal(lists)
	if err != nil || !p.deflated {
		return string(own), len(own), err
	}
	value, err = packed.Deflate(own)
	return value, len(own), err
}

// size is what a pack's column is followed by, or an expression in its place.
func (p *pack) size() column {
	if p.deflated {
		return column{p.column + "_size", "INTEGER"}
	}
	return column{"0", "INTEGER"}
}

// file is the CSV of its rows.
func (p *pack) file() string { return p.column + ".csv" }

// head is the CSV's first row.
func (p *pack) head() []string {
	names := []string{"hearing"}
	for i := range p.rows.NumField() {
		names = append(names, p.rows.Field(i).Tag.Get("json"))
	}
	return names
}

// plainText is a value as a cell of a table of text; what is not known is empty.
func plainText(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case int64:
		return strconv.FormatInt(v, 10)
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	case []byte:
		return base64.StdEncoding.EncodeToString(v)
	}
	return outside.Cell(fmt.Sprint(v))
}

// valueOf reads a cell back.
func valueOf(c column, text string) (any, error) {
	switch c.kind {
	case "TEXT":
		return outside.OfCell(text), nil
	case "BLOB":
		return base64.StdEncoding.DecodeString(text)
	}
	if text == "" {
		return nil, nil
	}
	if c.kind == "INTEGER" {
		return strconv.ParseInt(text, 10, 64)
	}
	return strconv.ParseFloat(text, 64)
}
