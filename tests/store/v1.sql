-- The form of a database of version 1, kept as it was released: a step that was released is never edited.
PRAGMA application_id = 1148343400;
CREATE TABLE migration (number INTEGER PRIMARY KEY, name TEXT) STRICT;
CREATE TABLE fact (
            number INTEGER PRIMARY KEY,
            id TEXT NOT NULL UNIQUE,
            visit TEXT NOT NULL,
            device TEXT NOT NULL,
            sequence INTEGER NOT NULL,
            moment INTEGER NOT NULL,
            kind TEXT NOT NULL,
            line TEXT NOT NULL
        ) STRICT;
CREATE INDEX fact_of_visit ON fact (visit, moment);
CREATE INDEX fact_of_device ON fact (device, sequence);
CREATE INDEX fact_that_turns ON fact (visit) WHERE kind IN ('visit opened', 'withdrawn');
CREATE TRIGGER fact_stays BEFORE DELETE ON fact
            BEGIN SELECT RAISE(ABORT, 'facts are for ever'); END;
CREATE TRIGGER fact_stays_as_it_is BEFORE UPDATE ON fact
            BEGIN SELECT RAISE(ABORT, 'facts are for ever'); END;
CREATE TABLE photo (
            digest TEXT PRIMARY KEY,
            media TEXT NOT NULL,
            size INTEGER NOT NULL,
            content BLOB
        ) STRICT;
INSERT INTO migration (name) VALUES ('facts_and_photos');
