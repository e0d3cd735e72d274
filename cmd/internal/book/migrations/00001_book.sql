-- The book, version 1. Rows are written once: triggers refuse to change or
-- delete them, and a correction is a new row that names the one it supersedes.
--
-- key      what the row says, as a hash in hex: see keyOf in row.go
-- recorded when it was written down; this and every other time is UTC in whole
--          seconds since 1970
-- id       the short number for people; never used twice, and not the same in
--          another copy of the book

-- +goose Up

-- Two programs that bring an old book up to date at once: the second fails here,
-- with everything that it did.
CREATE UNIQUE INDEX each_version_once ON goose_db_version (version_id);

-- Bytes as they were, compressed, each once whatever refers to them.
CREATE TABLE bodies (
    id   INTEGER PRIMARY KEY AUTOINCREMENT,
    key  TEXT    NOT NULL UNIQUE CHECK (length(key) = 64), -- SHA-256 of the bytes
    size INTEGER NOT NULL CHECK (size >= 0),               -- before compression
    gzip BLOB    NOT NULL
) STRICT;

CREATE TABLE boats (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    key      TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded INTEGER NOT NULL,
    name     TEXT    NOT NULL,
    kind     TEXT    NOT NULL,
    length_m REAL
) STRICT;
CREATE INDEX boats_name ON boats (name);

CREATE TABLE places (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    key         TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded    INTEGER NOT NULL,
    name        TEXT    NOT NULL,
    latitude    REAL    NOT NULL CHECK (latitude BETWEEN -90 AND 90),
    longitude   REAL    NOT NULL CHECK (longitude BETWEEN -180 AND 180),
    timezone    TEXT    NOT NULL,
    elevation_m REAL
) STRICT;

-- One row for each text of a job's file. Rows of one name and one boat's name
-- are one job.
CREATE TABLE jobs (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    key      TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded INTEGER NOT NULL,
    name     TEXT    NOT NULL,
    boat     TEXT    NOT NULL REFERENCES boats (key),
    place    TEXT    NOT NULL REFERENCES places (key),
    file     TEXT    NOT NULL,
    body     TEXT    NOT NULL REFERENCES bodies (key)
) STRICT;
CREATE INDEX jobs_name ON jobs (name);

CREATE TABLE forecasts (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    key      TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded INTEGER NOT NULL,
    service  TEXT    NOT NULL,
    model    TEXT    NOT NULL,
    place    TEXT    REFERENCES places (key),
    issued   INTEGER,
    fetched  INTEGER,
    form     TEXT    NOT NULL,
    warnings TEXT    NOT NULL CHECK (warnings = '' OR json_valid(warnings)),
    body     TEXT    NOT NULL REFERENCES bodies (key)
) STRICT;

CREATE TABLE done (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    key        TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded   INTEGER NOT NULL,
    job        TEXT    NOT NULL REFERENCES jobs (key),
    step       TEXT    NOT NULL,
    zone       TEXT    NOT NULL,
    share      REAL    NOT NULL CHECK (share > 0 AND share <= 1),
    begun      INTEGER,
    at         INTEGER NOT NULL,
    product    TEXT    NOT NULL,
    "by"       TEXT    NOT NULL,
    note       TEXT    NOT NULL,
    supersedes TEXT    REFERENCES done (key),
    void       INTEGER NOT NULL CHECK (void IN (0, 1)),
    again      INTEGER NOT NULL CHECK (again >= 0)
) STRICT;
CREATE INDEX done_job ON done (job, at);
CREATE INDEX done_supersedes ON done (supersedes) WHERE supersedes IS NOT NULL;

CREATE TABLE readings (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    key          TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded     INTEGER NOT NULL,
    job          TEXT    NOT NULL REFERENCES jobs (key),
    at           INTEGER NOT NULL,
    until        INTEGER,
    zone         TEXT    NOT NULL,
    product      TEXT    NOT NULL,
    air_c        REAL,
    humidity_pct REAL,
    wind_m_s     REAL,
    surface_c    REAL,
    moisture_pct REAL,
    haze_min     REAL,
    rain_mm      REAL,
    rain         INTEGER CHECK (rain IN (0, 1)),
    wet          INTEGER CHECK (wet IN (0, 1)),
    sun          INTEGER CHECK (sun IN (0, 1)),
    sky          TEXT    NOT NULL,
    spray        TEXT    NOT NULL,
    salt         TEXT    NOT NULL,
    "by"         TEXT    NOT NULL,
    note         TEXT    NOT NULL,
    flags        TEXT    NOT NULL CHECK (flags = '' OR json_valid(flags)),
    refused      TEXT    NOT NULL,
    supersedes   TEXT    REFERENCES readings (key),
    void         INTEGER NOT NULL CHECK (void IN (0, 1)),
    again        INTEGER NOT NULL CHECK (again >= 0)
) STRICT;
CREATE INDEX readings_job ON readings (job, at);
CREATE INDEX readings_supersedes ON readings (supersedes) WHERE supersedes IS NOT NULL;

CREATE TABLE outcomes (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    key        TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded   INTEGER NOT NULL,
    job        TEXT    NOT NULL REFERENCES jobs (key),
    done       TEXT    REFERENCES done (key),
    step       TEXT    NOT NULL,
    zone       TEXT    NOT NULL,
    product    TEXT    NOT NULL,
    found      TEXT    NOT NULL CHECK (found IN ('ok', 'inspect', 'redo')),
    at         INTEGER NOT NULL,
    "by"       TEXT    NOT NULL,
    note       TEXT    NOT NULL,
    supersedes TEXT    REFERENCES outcomes (key),
    void       INTEGER NOT NULL CHECK (void IN (0, 1)),
    again      INTEGER NOT NULL CHECK (again >= 0)
) STRICT;
CREATE INDEX outcomes_job ON outcomes (job, at);
CREATE INDEX outcomes_supersedes ON outcomes (supersedes) WHERE supersedes IS NOT NULL;

CREATE TABLE answers (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,
    key       TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded  INTEGER NOT NULL,
    kind      TEXT    NOT NULL CHECK (kind <> ''),
    job       TEXT    NOT NULL REFERENCES jobs (key),
    forecast  TEXT    REFERENCES forecasts (key),
    plan      TEXT    REFERENCES plans (key),
    at        INTEGER NOT NULL,
    verdict   TEXT    NOT NULL,
    program   TEXT    NOT NULL,
    catalogue TEXT    NOT NULL,
    products  TEXT    REFERENCES bodies (key),
    settings  TEXT    NOT NULL CHECK (settings = '' OR json_valid(settings)),
    readings  TEXT    NOT NULL CHECK (readings = '' OR json_valid(readings)),
    done      TEXT    NOT NULL CHECK (done = '' OR json_valid(done)),
    body      TEXT    NOT NULL REFERENCES bodies (key)
) STRICT;
CREATE INDEX answers_job ON answers (job);

CREATE TABLE plans (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    key        TEXT    NOT NULL UNIQUE CHECK (length(key) = 64),
    recorded   INTEGER NOT NULL,
    job        TEXT    NOT NULL REFERENCES jobs (key),
    answer     TEXT    REFERENCES answers (key),
    at         INTEGER NOT NULL,
    accepted   INTEGER NOT NULL CHECK (accepted IN (0, 1)),
    note       TEXT    NOT NULL,
    body       TEXT    NOT NULL REFERENCES bodies (key),
    supersedes TEXT    REFERENCES plans (key)
) STRICT;
CREATE INDEX plans_job ON plans (job);

-- The lists of an answer name rows that are there.
-- +goose StatementBegin
CREATE TRIGGER answers_readings_there BEFORE INSERT ON answers WHEN new.readings <> '' BEGIN
    SELECT RAISE(ABORT, 'FOREIGN KEY constraint failed')
    FROM json_each(new.readings) WHERE value NOT IN (SELECT key FROM readings);
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER answers_done_there BEFORE INSERT ON answers WHEN new.done <> '' BEGIN
    SELECT RAISE(ABORT, 'FOREIGN KEY constraint failed')
    FROM json_each(new.done) WHERE value NOT IN (SELECT key FROM done);
END;
-- +goose StatementEnd

-- Nothing is changed and nothing is deleted.
-- +goose StatementBegin
CREATE TRIGGER bodies_no_update BEFORE UPDATE ON bodies BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER bodies_no_delete BEFORE DELETE ON bodies BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER boats_no_update BEFORE UPDATE ON boats BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER boats_no_delete BEFORE DELETE ON boats BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER places_no_update BEFORE UPDATE ON places BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER places_no_delete BEFORE DELETE ON places BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER jobs_no_update BEFORE UPDATE ON jobs BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER jobs_no_delete BEFORE DELETE ON jobs BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER forecasts_no_update BEFORE UPDATE ON forecasts BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER forecasts_no_delete BEFORE DELETE ON forecasts BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER done_no_update BEFORE UPDATE ON done BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER done_no_delete BEFORE DELETE ON done BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER readings_no_update BEFORE UPDATE ON readings BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER readings_no_delete BEFORE DELETE ON readings BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER outcomes_no_update BEFORE UPDATE ON outcomes BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER outcomes_no_delete BEFORE DELETE ON outcomes BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER answers_no_update BEFORE UPDATE ON answers BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER answers_no_delete BEFORE DELETE ON answers BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER plans_no_update BEFORE UPDATE ON plans BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER plans_no_delete BEFORE DELETE ON plans BEGIN
    SELECT RAISE(ABORT, 'the book is written once: record a correction');
END;
-- +goose StatementEnd
