-- What was ticked on a flight's checklists, by the identity of the box ticked.
CREATE TABLE tick (
    flight    TEXT NOT NULL REFERENCES flight (id),
    box       TEXT NOT NULL,
    ticked_ms INTEGER NOT NULL,
    PRIMARY KEY (flight, box)
) STRICT;
