package diary

import (
	"database/sql"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// tables are those of a diary, each after the ones that it refers to.
var tables = []string{"settings", "players", "pieces", "copies", "shifts", "takes", "hearings", "findings", "landings", "measures", "open_strings"}

// column is one of a table's.
type column struct {
	name string
	kind string // INTEGER, REAL, TEXT or BLOB
}

// columnsOf lists the columns of a table.
func columnsOf(db asker, table string) ([]column, error) {
	rows, err := db.Query(`SELECT name, type FROM pragma_table_info(?) ORDER BY cid`, table)
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

// eachRow hands over every row of a table in the order of its key, as SQLite's
// own values.
func eachRow(db asker, table string, cols []column, take func(row []any) error) error {
	rows, err := db.Query(`SELECT ` + list(cols) + ` FROM ` + table + ` ORDER BY 1, 2, 3, 4`[:order(len(cols))])
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

// packedNotes says that a column holds notes, which are exported as they are
// before deflating.
func packedNotes(table string, c column) bool { return table == "hearings" && c.name == "notes" }

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
	return fmt.Sprint(v)
}

// valueOf reads a cell back.
func valueOf(c column, text string) (any, error) {
	switch c.kind {
	case "TEXT":
		return text, nil
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

// inserting prepares to put rows into a table.
func inserting(tx *sql.Tx, table string, cols []column) (*sql.Stmt, error) {
	return tx.Prepare(`INSERT INTO ` + table + ` (` + list(cols) + `) VALUES (?` + strings.Repeat(",?", len(cols)-1) + `)`)
}

// notesText is the notes of a hearing as JSON by column.
func notesText(packed []byte, size int64) (json.RawMessage, error) { return inflate(packed, int(size)) }
