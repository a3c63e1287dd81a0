-- +goose Up

-- "Lugb" as a number: what this file is, for file(1) and for us when we open it.
PRAGMA application_id = 1282762594;

-- Times are microseconds since 1970 in UTC. Amounts of money are exact decimal text.
-- Foreign keys are checked when a transaction ends, so that a quote and what belongs
-- to it may be written in any order.
CREATE TABLE quotes (
	running       INTEGER PRIMARY KEY,
	number        TEXT    NOT NULL UNIQUE,
	revision      INTEGER NOT NULL,
	state         TEXT    NOT NULL,
	version       INTEGER NOT NULL,
	vehicle_id    TEXT    NOT NULL,
	vehicle_label TEXT    NOT NULL,
	vehicle_words TEXT    NOT NULL, -- a JSON list
	total         TEXT    NOT NULL,
	currency      TEXT    NOT NULL,
	create_time   INTEGER NOT NULL,
	update_time   INTEGER NOT NULL,
	valid_until   INTEGER NOT NULL,
	erase_time    INTEGER,          -- none: the customer is not erased
	words         TEXT    NOT NULL  -- a JSON list
) STRICT;

CREATE INDEX quotes_by_state ON quotes (state, running);
CREATE INDEX quotes_by_validity ON quotes (state, valid_until);
CREATE INDEX quotes_by_create_time ON quotes (create_time);

-- Who a quote is for stands apart from the quote, so that it can be removed.
CREATE TABLE customers (
	running   INTEGER PRIMARY KEY REFERENCES quotes (running) DEFERRABLE INITIALLY DEFERRED,
	name      TEXT NOT NULL,
	phone     TEXT NOT NULL,
	email     TEXT NOT NULL,
	reference TEXT NOT NULL,
	words     TEXT NOT NULL -- a JSON list
) STRICT;

-- The words that quotes are found by: what the lists of words above say, turned round.
-- Classes: 1 of the customer, 2 of the vehicle, 3 others.
CREATE TABLE words (
	running INTEGER NOT NULL,
	word    TEXT    NOT NULL,
	class   INTEGER NOT NULL,
	PRIMARY KEY (running, word, class)
) STRICT, WITHOUT ROWID;

CREATE INDEX words_by_word ON words (class, word, running);

CREATE TABLE revisions (
	number           TEXT    NOT NULL REFERENCES quotes (number) DEFERRABLE INITIALLY DEFERRED,
	revision         INTEGER NOT NULL,
	create_time      INTEGER NOT NULL,
	format           INTEGER NOT NULL,
	rules_version    TEXT    NOT NULL,
	catalog_revision TEXT    NOT NULL,
	language         TEXT    NOT NULL,
	time_zone        TEXT    NOT NULL,
	job              BLOB    NOT NULL,
	snapshot         BLOB    NOT NULL,
	PRIMARY KEY (number, revision)
) STRICT;

-- The personal part of a revision, likewise apart.
CREATE TABLE personal (
	number   TEXT    NOT NULL,
	revision INTEGER NOT NULL,
	personal BLOB    NOT NULL,
	PRIMARY KEY (number, revision),
	FOREIGN KEY (number, revision) REFERENCES revisions (number, revision) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE TABLE events (
	number   TEXT    NOT NULL REFERENCES quotes (number) DEFERRABLE INITIALLY DEFERRED,
	place    INTEGER NOT NULL, -- among the events of the quote, from 1
	revision INTEGER NOT NULL,
	time     INTEGER NOT NULL,
	deed     TEXT    NOT NULL,
	caller   TEXT    NOT NULL,
	staff    TEXT    NOT NULL,
	reason   TEXT    NOT NULL,
	PRIMARY KEY (number, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE documents (
	number      TEXT    NOT NULL,
	revision    INTEGER NOT NULL,
	kind        TEXT    NOT NULL,
	media_type  TEXT    NOT NULL,
	create_time INTEGER NOT NULL,
	bytes       BLOB    NOT NULL,
	PRIMARY KEY (number, revision, kind),
	FOREIGN KEY (number, revision) REFERENCES revisions (number, revision) DEFERRABLE INITIALLY DEFERRED
) STRICT;

-- What was done for the request ids of callers.
CREATE TABLE deeds (
	caller     TEXT    NOT NULL,
	request_id TEXT    NOT NULL,
	sum        BLOB    NOT NULL,
	number     TEXT    NOT NULL,
	revision   INTEGER NOT NULL,
	state      TEXT    NOT NULL,
	version    INTEGER NOT NULL,
	time       INTEGER NOT NULL,
	PRIMARY KEY (caller, request_id)
) STRICT, WITHOUT ROWID;

-- The ledger of stock, in thousandths of a part's unit, and the balance it gives.
CREATE TABLE movements (
	id       INTEGER PRIMARY KEY,
	sku      TEXT    NOT NULL,
	kind     TEXT    NOT NULL,
	quantity INTEGER NOT NULL,
	number   TEXT    NOT NULL, -- of the quote, or empty
	time     INTEGER NOT NULL,
	caller   TEXT    NOT NULL,
	staff    TEXT    NOT NULL,
	note     TEXT    NOT NULL
) STRICT;

CREATE INDEX movements_by_number ON movements (number) WHERE number <> '';

CREATE TABLE stock (
	sku      TEXT PRIMARY KEY,
	counted  INTEGER NOT NULL,
	on_hand  INTEGER NOT NULL,
	reserved INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE catalogs (
	id          INTEGER PRIMARY KEY,
	revision    TEXT    NOT NULL UNIQUE,
	create_time INTEGER NOT NULL,
	caller      TEXT    NOT NULL,
	note        TEXT    NOT NULL,
	files       BLOB    NOT NULL
) STRICT;

-- One row: the revision of the catalog to work by.
CREATE TABLE catalog_in_force (
	one      INTEGER PRIMARY KEY CHECK (one = 1),
	revision TEXT NOT NULL REFERENCES catalogs (revision)
) STRICT;

-- One row: the last running number given out.
CREATE TABLE counter (
	one  INTEGER PRIMARY KEY CHECK (one = 1),
	last INTEGER NOT NULL
) STRICT;

INSERT INTO counter (one, last) VALUES (1, 0);
