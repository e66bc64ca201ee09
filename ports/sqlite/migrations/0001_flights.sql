-- Flights and their revisions. Times are milliseconds since 1970-01-01 UTC.
CREATE TABLE flight (
    id          TEXT PRIMARY KEY,
    head        INTEGER NOT NULL,
    archived_ms INTEGER,            -- null: not archived
    deleted_ms  INTEGER,            -- null: not deleted
    FOREIGN KEY (id, head) REFERENCES revision (flight, number) DEFERRABLE INITIALLY DEFERRED
) STRICT;

CREATE TABLE revision (
    flight   TEXT NOT NULL REFERENCES flight (id) DEFERRABLE INITIALLY DEFERRED,
    number   INTEGER NOT NULL CHECK (number >= 1),
    parent   INTEGER CHECK (parent < number),   -- null: the flight's first
    made_ms  INTEGER NOT NULL,
    name     TEXT NOT NULL,
    what     TEXT NOT NULL,
    hash     TEXT NOT NULL,                     -- SHA-256 of the document, hexadecimal
    document BLOB NOT NULL,
    PRIMARY KEY (flight, number),
    FOREIGN KEY (flight, parent) REFERENCES revision (flight, number)
) STRICT;

CREATE INDEX revision_child ON revision (flight, parent);

-- What was once saved stays: undo moves the head of a flight, nothing more.
CREATE TRIGGER revision_is_kept BEFORE UPDATE ON revision
BEGIN SELECT RAISE (ABORT, 'a revision is never changed'); END;
