package diary

// applicationID marks the file as a diary ("Endp" in ASCII).
const applicationID = 0x456e6470

// steps bring a diary from each version of its schema to the next; step 0 makes
// a new one. What was once given out is never changed: a later need is a step of
// its own.
var steps = []string{first, second, third, fourth}

// first is version 1. Times are milliseconds since 1970 in UTC, with the offset
// of the player's zone in minutes and the day it was there. A text is never
// null; a number that is not known is.
const first = `
CREATE TABLE settings (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;

CREATE TABLE players (
	id INTEGER PRIMARY KEY,
	name TEXT NOT NULL UNIQUE,            -- in Unicode's composed form (NFC)
	keep_sound INTEGER NOT NULL DEFAULT 0 -- what the player last said of it
);

CREATE TABLE pieces (
	id INTEGER PRIMARY KEY,
	content TEXT NOT NULL UNIQUE,         -- SHA-256 of its notes and rhythm
	title TEXT NOT NULL                   -- as last read
);

-- A piece as it lay in a file: fingered, marked, barred. What is kept of the
-- file is what hears kept sound again; size is before it was deflated (zlib).
CREATE TABLE copies (
	id INTEGER PRIMARY KEY,
	piece INTEGER NOT NULL REFERENCES pieces(id),
	content TEXT NOT NULL,                -- SHA-256 of the file and the part
	name TEXT NOT NULL,                   -- its name, without a folder
	part TEXT NOT NULL,
	file BLOB NOT NULL,
	size INTEGER NOT NULL,
	UNIQUE (piece, content)
);

CREATE TABLE shifts (
	id INTEGER PRIMARY KEY,
	piece INTEGER NOT NULL REFERENCES pieces(id),
	printed INTEGER NOT NULL,             -- index of the printed measure, for the order
	measure TEXT NOT NULL,
	beat REAL NOT NULL,
	string INTEGER NOT NULL,              -- 1 is the highest
	from_position TEXT NOT NULL,
	to_position TEXT NOT NULL,
	semitones INTEGER NOT NULL,           -- that the first finger travels; negative toward the scroll
	UNIQUE (piece, printed, measure, beat, string, from_position, to_position, semitones)
);

CREATE TABLE takes (
	id INTEGER PRIMARY KEY,
	player INTEGER NOT NULL REFERENCES players(id),
	piece INTEGER NOT NULL REFERENCES pieces(id),
	copy INTEGER NOT NULL REFERENCES copies(id),
	content TEXT NOT NULL,                -- SHA-256 of the recording
	at_ms INTEGER NOT NULL,
	zone_min INTEGER NOT NULL,            -- minutes east of Greenwich
	day TEXT NOT NULL,                    -- there, as 2026-11-02
	added_ms INTEGER NOT NULL,
	duration_s REAL NOT NULL,
	warning TEXT NOT NULL,                -- of a date that cannot be right
	sound TEXT NOT NULL,                  -- how the recording's name ends where it is kept, "" where not
	sound_bytes INTEGER NOT NULL,
	UNIQUE (player, at_ms, content, piece)
);
CREATE INDEX takes_by_content ON takes (player, content);

CREATE TABLE hearings (
	id INTEGER PRIMARY KEY,
	take INTEGER NOT NULL REFERENCES takes(id) ON DELETE CASCADE,
	listening INTEGER NOT NULL,           -- the version of what heard and judged
	counted INTEGER NOT NULL,             -- 1 for the one of its take that the queries use
	judged_ms INTEGER NOT NULL,
	asked TEXT NOT NULL,                  -- the options, JSON
	level TEXT NOT NULL,
	intonation TEXT NOT NULL,
	frame_cents REAL NOT NULL,            -- the tolerances
	note_cents REAL NOT NULL,
	onset_ms REAL NOT NULL,
	held REAL NOT NULL,
	tempo_percent REAL NOT NULL,
	tuning_cents REAL NOT NULL,
	reference_a_hz REAL NOT NULL,
	heard_a_hz REAL NOT NULL,
	tempo_asked_qpm REAL NOT NULL,
	tempo_heard_qpm REAL NOT NULL,
	worth_fixing TEXT NOT NULL,           -- JSON
	remarks TEXT NOT NULL,                -- JSON
	notes BLOB NOT NULL,                  -- JSON by column, deflated: sqlar_uncompress(notes, notes_size)
	notes_size INTEGER NOT NULL,
	note_count INTEGER NOT NULL
);
CREATE INDEX hearings_by_take ON hearings (take, counted);

CREATE TABLE findings (
	hearing INTEGER NOT NULL REFERENCES hearings(id) ON DELETE CASCADE,
	n INTEGER NOT NULL,
	measure TEXT NOT NULL,
	to_measure TEXT NOT NULL,
	pass INTEGER NOT NULL,
	beat REAL NOT NULL,
	kind TEXT NOT NULL,
	value REAL NOT NULL,
	trust TEXT NOT NULL,
	text TEXT NOT NULL,
	short TEXT NOT NULL,
	spread REAL NOT NULL,
	tolerance REAL NOT NULL,
	notes INTEGER NOT NULL,
	at_s REAL NOT NULL,
	PRIMARY KEY (hearing, n)
) WITHOUT ROWID;

-- In the order in which a month of one player is read.
CREATE TABLE landings (
	player INTEGER NOT NULL REFERENCES players(id),
	at_ms INTEGER NOT NULL,               -- of the take
	hearing INTEGER NOT NULL,
	n INTEGER NOT NULL,
	shift INTEGER NOT NULL REFERENCES shifts(id),
	counted INTEGER NOT NULL,
	pass INTEGER NOT NULL,
	cents REAL NOT NULL,
	settle_ms REAL,
	qpm REAL NOT NULL,
	carried_by TEXT NOT NULL,
	plucked INTEGER NOT NULL,
	marked INTEGER NOT NULL,
	alternative INTEGER NOT NULL,
	trust TEXT NOT NULL,
	at_s REAL NOT NULL,
	PRIMARY KEY (player, at_ms, hearing, n)
) WITHOUT ROWID;

-- Each printed measure of a hearing: how it went.
CREATE TABLE measures (
	hearing INTEGER NOT NULL REFERENCES hearings(id) ON DELETE CASCADE,
	printed INTEGER NOT NULL,
	measure TEXT NOT NULL,
	notes INTEGER NOT NULL,               -- expected
	heard INTEGER NOT NULL,               -- of these, as written
	told INTEGER NOT NULL,                -- findings that cover it, those of the whole take left out
	unsure INTEGER NOT NULL,              -- notes heard without trust
	PRIMARY KEY (hearing, printed)
) WITHOUT ROWID;

CREATE TABLE open_strings (
	hearing INTEGER NOT NULL REFERENCES hearings(id) ON DELETE CASCADE,
	string INTEGER NOT NULL,
	cents REAL NOT NULL,                  -- the median, against the player's own reference
	notes INTEGER NOT NULL,
	PRIMARY KEY (hearing, string)
) WITHOUT ROWID;

CREATE VIEW shift_landings AS
	SELECT players.name AS player, pieces.title AS piece, s.measure, s.beat, s.string, s.from_position, s.to_position,
		datetime(l.at_ms / 1000, 'unixepoch') AS at_utc, l.cents, l.settle_ms, l.qpm, l.carried_by, l.trust
	FROM landings l JOIN players ON players.id = l.player JOIN shifts s ON s.id = l.shift JOIN pieces ON pieces.id = s.piece
	WHERE l.counted = 1;

CREATE VIEW counted_findings AS
	SELECT players.name AS player, pieces.title AS piece, t.day, f.measure, f.to_measure, f.beat, f.kind, f.value, f.trust, f.text
	FROM findings f JOIN hearings h ON h.id = f.hearing AND h.counted = 1 JOIN takes t ON t.id = h.take
		JOIN players ON players.id = t.player JOIN pieces ON pieces.id = t.piece;
`

// second puts what a hearing's weeks are told from into one row (see digest.go):
// a month of a player's opens in a third of the time. What were tables are views.
// SQLite writes a number with 15 digits into JSON, more than was ever measured.
const second = `
DROP VIEW shift_landings;

CREATE TABLE digests (
	hearing INTEGER PRIMARY KEY REFERENCES hearings(id) ON DELETE CASCADE,
	landings TEXT NOT NULL,               -- JSON, one list for each field
	measures TEXT NOT NULL,
	open_strings TEXT NOT NULL
);

INSERT INTO digests SELECT h.id,
	(SELECT json_object('shift', json_group_array(shift ORDER BY n), 'pass', json_group_array(pass ORDER BY n), 'cents', json_group_array(cents ORDER BY n),
		'settle_ms', json_group_array(settle_ms ORDER BY n), 'qpm', json_group_array(qpm ORDER BY n), 'carried_by', json_group_array(carried_by ORDER BY n),
		'plucked', json_group_array(plucked ORDER BY n), 'marked', json_group_array(marked ORDER BY n), 'alternative', json_group_array(alternative ORDER BY n),
		'trust', json_group_array(trust ORDER BY n), 'at_s', json_group_array(at_s ORDER BY n))
		FROM landings l WHERE l.player = t.player AND l.at_ms = t.at_ms AND l.hearing = h.id),
	(SELECT json_object('printed', json_group_array(printed ORDER BY printed), 'measure', json_group_array(measure ORDER BY printed),
		'notes', json_group_array(notes ORDER BY printed), 'heard', json_group_array(heard ORDER BY printed), 'told', json_group_array(told ORDER BY printed),
		'unsure', json_group_array(unsure ORDER BY printed)) FROM measures m WHERE m.hearing = h.id),
	(SELECT json_object('string', json_group_array(string ORDER BY string), 'cents', json_group_array(cents ORDER BY string),
		'notes', json_group_array(notes ORDER BY string)) FROM open_strings o WHERE o.hearing = h.id)
	FROM hearings h JOIN takes t ON t.id = h.take ORDER BY h.id;

DROP TABLE landings;
DROP TABLE measures;
DROP TABLE open_strings;

CREATE VIEW landings AS
	SELECT t.player, t.at_ms, h.id AS hearing, n.key AS n, n.value AS shift, h.counted, l ->> ('$.pass[' || n.key || ']') AS pass,
		CAST(l ->> ('$.cents[' || n.key || ']') AS REAL) AS cents, CAST(l ->> ('$.settle_ms[' || n.key || ']') AS REAL) AS settle_ms,
		CAST(l ->> ('$.qpm[' || n.key || ']') AS REAL) AS qpm, l ->> ('$.carried_by[' || n.key || ']') AS carried_by,
		l ->> ('$.plucked[' || n.key || ']') AS plucked, l ->> ('$.marked[' || n.key || ']') AS marked,
		l ->> ('$.alternative[' || n.key || ']') AS alternative, l ->> ('$.trust[' || n.key || ']') AS trust,
		CAST(l ->> ('$.at_s[' || n.key || ']') AS REAL) AS at_s
	FROM (SELECT hearing AS of, landings AS l FROM digests) JOIN hearings h ON h.id = of JOIN takes t ON t.id = h.take JOIN json_each(l, '$.shift') n;

CREATE VIEW measures AS
	SELECT hearing, n.value AS printed, m ->> ('$.measure[' || n.key || ']') AS measure, m ->> ('$.notes[' || n.key || ']') AS notes,
		m ->> ('$.heard[' || n.key || ']') AS heard, m ->> ('$.told[' || n.key || ']') AS told, m ->> ('$.unsure[' || n.key || ']') AS unsure
	FROM (SELECT hearing, measures AS m FROM digests) JOIN json_each(m, '$.printed') n;

CREATE VIEW open_strings AS
	SELECT hearing, n.value AS string, CAST(o ->> ('$.cents[' || n.key || ']') AS REAL) AS cents, o ->> ('$.notes[' || n.key || ']') AS notes
	FROM (SELECT hearing, open_strings AS o FROM digests) JOIN json_each(o, '$.string') n;

CREATE VIEW shift_landings AS
	SELECT players.name AS player, pieces.title AS piece, s.measure, s.beat, s.string, s.from_position, s.to_position,
		datetime(l.at_ms / 1000, 'unixepoch') AS at_utc, l.cents, l.settle_ms, l.qpm, l.carried_by, l.trust
	FROM landings l JOIN players ON players.id = l.player JOIN shifts s ON s.id = l.shift JOIN pieces ON pieces.id = s.piece
	WHERE l.counted = 1;
`

// third keeps what was mended on the desk. It hangs on no take: one may go, and what holds
// was mended all the same.
const third = `
CREATE TABLE mended (
	id INTEGER PRIMARY KEY,
	player INTEGER NOT NULL REFERENCES players(id) ON DELETE CASCADE,
	piece INTEGER NOT NULL REFERENCES pieces(id),
	at_ms INTEGER NOT NULL,
	zone_min INTEGER NOT NULL,
	day TEXT NOT NULL,
	kind TEXT NOT NULL,                   -- of the finding
	measure TEXT NOT NULL,
	was REAL NOT NULL,                    -- in the kind's unit
	now REAL,                             -- at the end
	let_pass REAL NOT NULL,
	level TEXT NOT NULL,
	rounds INTEGER NOT NULL,
	UNIQUE (player, piece, at_ms, kind, measure)
);
`

// fourth keeps which program heard a take: its tag, commit and day. The listening's version tells
// what may be compared; this tells whom to ask where something was heard wrongly.
const fourth = `
CREATE TABLE programs (
	hearing INTEGER PRIMARY KEY REFERENCES hearings(id) ON DELETE CASCADE,
	program TEXT NOT NULL
);
`
