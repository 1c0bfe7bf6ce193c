package record

// Marks in the file's header. They are read before anything else is believed.
const (
	// applicationID is "bwrd", in PRAGMA application_id.
	applicationID = 0x62777264
	// version of the format, in PRAGMA user_version.
	version = 1
)

// steps returns the SQL that brings a file from version i to i+1, at [i].
func steps() [version]string { return [version]string{version1} }

// version1 is the layout. Its comments stay in the file, where the .schema
// command of sqlite3 shows them.
//
// Why two tables for one log: a reading comes every second for years, so it
// pays to keep it as a few small integers (SQLite stores an integer in as many
// bytes as it needs); everything else is rare and is kept as text that explains
// itself. Why stretches: offsets and wall time grow to six bytes each, their
// differences from the start of the same two hours take three and at most two.
// Why faults as words: a number would have to keep its meaning for ten years.
// There is no index on reading: it would double the pages of every commit, and
// numbers and offsets rise together, so that halving finds any instant.
const version1 = `
CREATE TABLE bath (
  id   INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE stretch (      -- a run of readings whose instants lie close together
  first   INTEGER PRIMARY KEY, -- number of its first reading; it lasts until the next one's
  at_ms   INTEGER NOT NULL,    -- offset since the record began
  wall_ms INTEGER NOT NULL     -- UTC, since 1970
) STRICT;

CREATE TABLE reading (
  seq      INTEGER PRIMARY KEY, -- number in the log, shared with entry
  bath     INTEGER NOT NULL REFERENCES bath,
  at       INTEGER NOT NULL, -- ms after stretch.at_ms
  wall     INTEGER NOT NULL, -- ms by which the wall clock ran ahead of that since stretch.wall_ms
  oil      ANY, -- 0.0001 °C as the chip gave it; a word: its fault; NULL: not fitted
  bath_    ANY, -- likewise
  room     ANY, -- likewise
  pressure ANY  -- Pa; a word: its fault; NULL: not fitted
) STRICT;

CREATE TABLE entry (        -- everything but readings
  seq     INTEGER PRIMARY KEY, -- number in the log, shared with reading
  at_ms   INTEGER NOT NULL,    -- offset since the record began
  wall_ms INTEGER NOT NULL,    -- UTC, since 1970
  bath    INTEGER REFERENCES bath, -- NULL: concerns the whole site
  kind    TEXT NOT NULL,
  body    TEXT NOT NULL        -- a JSON object
) STRICT;
CREATE INDEX entry_of ON entry (kind, bath, seq);

CREATE VIEW temperature AS  -- the readings as numbers; NULL where there is none
  SELECT r.seq,
    strftime('%Y-%m-%dT%H:%M:%fZ', (s.wall_ms + r.at + r.wall) / 1000.0, 'unixepoch') AS time,
    (s.at_ms + r.at) / 1000.0 AS offset_s,
    b.name AS bath,
    CASE typeof(r.oil)      WHEN 'integer' THEN r.oil   / 10000.0 END AS oil_c,
    CASE typeof(r.bath_)    WHEN 'integer' THEN r.bath_ / 10000.0 END AS bath_c,
    CASE typeof(r.room)     WHEN 'integer' THEN r.room  / 10000.0 END AS room_c,
    CASE typeof(r.pressure) WHEN 'integer' THEN r.pressure / 100.0 END AS pressure_hpa
  FROM reading r
  CROSS JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq)
  CROSS JOIN bath b ON b.id = r.bath;

CREATE VIEW log AS          -- everything in order, in words
  SELECT r.seq,
    strftime('%Y-%m-%dT%H:%M:%fZ', (s.wall_ms + r.at + r.wall) / 1000.0, 'unixepoch') AS time,
    (s.at_ms + r.at) / 1000.0 AS offset_s,
    b.name AS bath,
    'reading' AS kind,
    CASE typeof(r.oil)        WHEN 'integer' THEN printf('oil %.8g °C', r.oil / 10000.0)
                              WHEN 'text' THEN 'oil: ' || r.oil ELSE 'oil: not fitted' END
    || CASE typeof(r.bath_)   WHEN 'integer' THEN printf(', bath %.8g °C', r.bath_ / 10000.0)
                              WHEN 'text' THEN ', bath: ' || r.bath_ ELSE ', bath: not fitted' END
    || CASE typeof(r.room)    WHEN 'integer' THEN printf(', room %.8g °C', r.room / 10000.0)
                              WHEN 'text' THEN ', room: ' || r.room ELSE '' END
    || CASE typeof(r.pressure) WHEN 'integer' THEN printf(', pressure %.8g hPa', r.pressure / 100.0)
                              WHEN 'text' THEN ', pressure: ' || r.pressure ELSE '' END AS says
  FROM reading r
  CROSS JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq)
  CROSS JOIN bath b ON b.id = r.bath
  UNION ALL
  SELECT e.seq,
    strftime('%Y-%m-%dT%H:%M:%fZ', e.wall_ms / 1000.0, 'unixepoch'),
    e.at_ms / 1000.0, b.name, e.kind, e.body
  FROM entry e LEFT JOIN bath b ON b.id = e.bath
  ORDER BY 1;
`
