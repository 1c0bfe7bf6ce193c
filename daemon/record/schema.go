package record

// Marks in the file's header. They are read before anything else is believed.
const (
	// applicationID is "bwrd", in PRAGMA application_id.
	applicationID = 0x62777264
	// version of the format, in PRAGMA user_version. convert.go brings older
	// files to it.
	version = 2
)

// layout is version 2. Its comments stay in the file, where the .schema command
// of sqlite3 shows them.
//
// Why readings are rows first and a block later: each must be on disk before
// anything follows from it, and a row in a small table is one page a commit; as a
// block they then take a fifth of the room. Why two kinds of
// leaf: a reading comes every second for years, everything else is rare and is
// kept as text that explains itself. Why the hashes are kept: the root and any
// proof are then told without reading the record; and why not all of them: half the
// room, and any of the others is made from eight. Why packs: lines that are packed
// together take half the room of lines that are packed each by itself, and a minute
// that is sealed need not wait for the others. Why stretches: offsets and wall
// time grow to six bytes each, their differences from the start of the same two
// hours take three and at most two. Why faults as words: a number would have to
// keep its meaning for ten years. There is no index on reading: it holds minutes.
const layout = `
CREATE TABLE bath (
  id   INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;
` + tables + views

const tables = `
CREATE TABLE stretch (      -- a run of readings whose instants lie close together
  first   INTEGER PRIMARY KEY, -- number of its first reading; it lasts until the next one's
  at_ms   INTEGER NOT NULL,    -- offset since the record began
  wall_ms INTEGER NOT NULL     -- UTC, since 1970
) STRICT;

CREATE TABLE reading (      -- the newest readings, until they are sealed in a block
  seq      INTEGER PRIMARY KEY, -- number in the log, shared with entry and block
  bath     INTEGER NOT NULL REFERENCES bath,
  at       INTEGER NOT NULL, -- ms after stretch.at_ms
  wall     INTEGER NOT NULL, -- ms by which the wall clock ran ahead of that since stretch.wall_ms
  oil      ANY, -- 0.0001 °C as the chip gave it; a word: its fault; NULL: not fitted
  bath_    ANY, -- likewise
  room     ANY, -- likewise
  pressure ANY  -- Pa; a word: its fault; NULL: not fitted
) STRICT;

CREATE TABLE block (        -- up to a minute of one bath's readings: a leaf of the tree
  leaf  INTEGER PRIMARY KEY, -- number of the leaf, shared with entry
  bath  INTEGER NOT NULL REFERENCES bath,
  first INTEGER NOT NULL,    -- number in the log of its first reading
  last  INTEGER NOT NULL,    -- and of its last; those of other baths lie between
  count INTEGER NOT NULL,    -- how many readings
  size  INTEGER NOT NULL,    -- bytes of its line
  pack  INTEGER,             -- where its line is, or will be and is in loose until then; NULL: thinned
  at    INTEGER NOT NULL     -- bytes before its line in what pack.data is, unpacked
) STRICT;
CREATE UNIQUE INDEX block_of ON block (bath, first);

CREATE TABLE loose (        -- lines of a bath's newest blocks, until there are enough to pack
  leaf INTEGER PRIMARY KEY,
  data BLOB NOT NULL         -- sqlar_uncompress(data, block.size)
) STRICT;

CREATE TABLE pack (         -- lines of blocks of one bath, one straight after the other
  id   INTEGER PRIMARY KEY,  -- leaf of the first
  size INTEGER NOT NULL,     -- bytes of them all
  data BLOB NOT NULL         -- sqlar_uncompress(data, size)
) STRICT;

CREATE TABLE entry (        -- everything but readings; each is a leaf of the tree
  seq     INTEGER PRIMARY KEY, -- number in the log, shared with reading and block
  leaf    INTEGER NOT NULL,    -- number of the leaf, shared with block
  at_ms   INTEGER NOT NULL,    -- offset since the record began
  wall_ms INTEGER NOT NULL,    -- UTC, since 1970
  bath    INTEGER REFERENCES bath, -- NULL: concerns the whole site
  kind    TEXT NOT NULL,
  body    TEXT NOT NULL        -- a JSON object
) STRICT;
CREATE INDEX entry_of ON entry (kind, bath, seq);

CREATE TABLE hash (         -- the tree of RFC 6962 over all leaves: of it every fourth level
  id   INTEGER PRIMARY KEY, -- counts leaf 0, leaf 1, their node, leaf 2, leaf 3, their node, the node of both, leaf 4 …
  hash BLOB NOT NULL        -- SHA-256
) STRICT;
`

// views are for people with the sqlite3 program, whose functions unpack;
// nothing in this package asks them. unsealed undoes the differences of a block
// by summing them up, list by list.
const views = `
CREATE VIEW sealed AS       -- every block with its line; NULL: thinned
  SELECT k.leaf, n.name AS bath, k.first, k.last, k.count,
    coalesce(substr(sqlar_uncompress(p.data, p.size), k.at + 1, k.size), sqlar_uncompress(l.data, k.size)) AS line
  FROM block k
  CROSS JOIN bath n ON n.id = k.bath
  LEFT JOIN pack p ON p.id = k.pack
  LEFT JOIN loose l ON l.leaf = k.leaf;

CREATE VIEW unsealed AS     -- every reading as whole numbers, from blocks and open ones
  SELECT v.value ->> 0 AS seq, v.value ->> 1 AS at_ms, (v.value ->> 1) + (v.value ->> 2) AS wall_ms, k.bath AS bath,
    v.value ->> 3 AS oil, v.value ->> 4 AS bath_, v.value ->> 5 AS room, v.value ->> 6 AS pressure
  FROM sealed k
  CROSS JOIN json_each((
    SELECT json_group_array(json_array(seq, at_ms, ahead_ms, oil, bath, room, pressure)) FROM (
      SELECT max(v) FILTER (WHERE list = 'seq') AS seq,
        max(v) FILTER (WHERE list = 'at_ms') AS at_ms,
        max(v) FILTER (WHERE list = 'ahead_ms') AS ahead_ms,
        max(v) FILTER (WHERE list = 'oil') AS oil,
        max(v) FILTER (WHERE list = 'bath') AS bath,
        max(v) FILTER (WHERE list = 'room') AS room,
        max(v) FILTER (WHERE list = 'pressure') AS pressure
      FROM (
        SELECT l.key AS list, e.key AS i, CASE e.type
          WHEN 'integer' THEN
            sum(CASE e.type WHEN 'integer' THEN e.value END) OVER (PARTITION BY l.key ORDER BY e.key)
            * CASE WHEN l.key IN ('oil', 'bath', 'room') THEN s.value ELSE 1 END
          ELSE e.value END AS v
        FROM json_each(k.line) s
        CROSS JOIN json_each(k.line) l
        CROSS JOIN json_each(l.value) e
        WHERE s.key = 'step' AND l.type = 'array')
      GROUP BY i ORDER BY i))) v
  UNION ALL
  SELECT r.seq, s.at_ms + r.at, s.wall_ms + r.at + r.wall, n.name, r.oil, r.bath_, r.room, r.pressure
  FROM reading r
  CROSS JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq)
  CROSS JOIN bath n ON n.id = r.bath;

CREATE VIEW temperature AS  -- the readings as numbers; NULL where there is none
  SELECT seq,
    strftime('%Y-%m-%dT%H:%M:%fZ', wall_ms / 1000.0, 'unixepoch') AS time,
    at_ms / 1000.0 AS offset_s,
    bath,
    CASE typeof(oil)      WHEN 'integer' THEN oil   / 10000.0 END AS oil_c,
    CASE typeof(bath_)    WHEN 'integer' THEN bath_ / 10000.0 END AS bath_c,
    CASE typeof(room)     WHEN 'integer' THEN room  / 10000.0 END AS room_c,
    CASE typeof(pressure) WHEN 'integer' THEN pressure / 100.0 END AS pressure_hpa
  FROM unsealed;

CREATE VIEW log AS          -- everything in order, in words
  SELECT seq,
    strftime('%Y-%m-%dT%H:%M:%fZ', wall_ms / 1000.0, 'unixepoch') AS time,
    at_ms / 1000.0 AS offset_s,
    bath,
    'reading' AS kind,
    CASE typeof(oil)        WHEN 'integer' THEN printf('oil %.8g °C', oil / 10000.0)
                            WHEN 'text' THEN 'oil: ' || oil ELSE 'oil: not fitted' END
    || CASE typeof(bath_)   WHEN 'integer' THEN printf(', bath %.8g °C', bath_ / 10000.0)
                            WHEN 'text' THEN ', bath: ' || bath_ ELSE ', bath: not fitted' END
    || CASE typeof(room)    WHEN 'integer' THEN printf(', room %.8g °C', room / 10000.0)
                            WHEN 'text' THEN ', room: ' || room ELSE '' END
    || CASE typeof(pressure) WHEN 'integer' THEN printf(', pressure %.8g hPa', pressure / 100.0)
                            WHEN 'text' THEN ', pressure: ' || pressure ELSE '' END AS says
  FROM unsealed
  UNION ALL
  SELECT e.seq,
    strftime('%Y-%m-%dT%H:%M:%fZ', e.wall_ms / 1000.0, 'unixepoch'),
    e.at_ms / 1000.0, b.name, e.kind, e.body
  FROM entry e LEFT JOIN bath b ON b.id = e.bath
  ORDER BY 1;
`
