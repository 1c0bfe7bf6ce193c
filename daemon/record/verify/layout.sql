CREATE TABLE bath (
  id   INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE stretch (
  first   INTEGER PRIMARY KEY,
  at_ms   INTEGER NOT NULL,
  wall_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE reading (
  seq      INTEGER PRIMARY KEY,
  bath     INTEGER NOT NULL REFERENCES bath,
  at       INTEGER NOT NULL,
  wall     INTEGER NOT NULL,
  oil      ANY,
  bath_    ANY,
  room     ANY,
  pressure ANY
) STRICT;

CREATE TABLE block (
  leaf  INTEGER PRIMARY KEY,
  bath  INTEGER NOT NULL REFERENCES bath,
  first INTEGER NOT NULL,
  last  INTEGER NOT NULL,
  count INTEGER NOT NULL,
  size  INTEGER NOT NULL,
  pack  INTEGER,
  at    INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX block_of ON block (bath, first);

CREATE TABLE loose (
  leaf INTEGER PRIMARY KEY,
  data BLOB NOT NULL
) STRICT;

CREATE TABLE pack (
  id   INTEGER PRIMARY KEY,
  size INTEGER NOT NULL,
  data BLOB NOT NULL
) STRICT;

CREATE TABLE entry (
  seq     INTEGER PRIMARY KEY,
  leaf    INTEGER NOT NULL,
  at_ms   INTEGER NOT NULL,
  wall_ms INTEGER NOT NULL,
  bath    INTEGER REFERENCES bath,
  kind    TEXT NOT NULL,
  body    TEXT NOT NULL
) STRICT;
CREATE INDEX entry_of ON entry (kind, bath, seq);

CREATE TABLE hash (
  id   INTEGER PRIMARY KEY,
  hash BLOB NOT NULL
) STRICT;

CREATE VIEW sealed AS
  SELECT k.leaf, n.name AS bath, k.first, k.last, k.count,
    coalesce(substr(sqlar_uncompress(p.data, p.size), k.at + 1, k.size), sqlar_uncompress(l.data, k.size)) AS line
  FROM block k
  CROSS JOIN bath n ON n.id = k.bath
  LEFT JOIN pack p ON p.id = k.pack
  LEFT JOIN loose l ON l.leaf = k.leaf;

CREATE VIEW unsealed AS
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

CREATE VIEW temperature AS
  SELECT seq,
    strftime('%Y-%m-%dT%H:%M:%fZ', wall_ms / 1000.0, 'unixepoch') AS time,
    at_ms / 1000.0 AS offset_s,
    bath,
    CASE typeof(oil)      WHEN 'integer' THEN oil   / 10000.0 END AS oil_c,
    CASE typeof(bath_)    WHEN 'integer' THEN bath_ / 10000.0 END AS bath_c,
    CASE typeof(room)     WHEN 'integer' THEN room  / 10000.0 END AS room_c,
    CASE typeof(pressure) WHEN 'integer' THEN pressure / 100.0 END AS pressure_hpa
  FROM unsealed;

CREATE VIEW log AS
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
