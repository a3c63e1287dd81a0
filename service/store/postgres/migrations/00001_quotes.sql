-- +goose Up

-- Amounts of money are exact decimal text. Texts are compared by code point, so that
-- words sort as the search for beginnings needs it.
-- Foreign keys are checked when a transaction ends, so that a quote and what belongs
-- to it may be written in any order.
CREATE TABLE quotes (
	running       bigint PRIMARY KEY,
	number        text COLLATE "C" NOT NULL UNIQUE,
	revision      integer NOT NULL,
	state         text COLLATE "C" NOT NULL,
	version       bigint NOT NULL,
	vehicle_id    text COLLATE "C" NOT NULL,
	vehicle_label text COLLATE "C" NOT NULL,
	vehicle_words text COLLATE "C" NOT NULL, -- a JSON list
	total         text COLLATE "C" NOT NULL,
	currency      text COLLATE "C" NOT NULL,
	create_time   timestamptz NOT NULL,
	update_time   timestamptz NOT NULL,
	valid_until   timestamptz NOT NULL,
	erase_time    timestamptz, -- none: the customer is not erased
	words         text COLLATE "C" NOT NULL  -- a JSON list
);

CREATE INDEX quotes_by_state ON quotes (state, running);
CREATE INDEX quotes_by_validity ON quotes (state, valid_until);
CREATE INDEX quotes_by_create_time ON quotes (create_time);

-- Who a quote is for stands apart from the quote, so that it can be removed.
CREATE TABLE customers (
	running   bigint PRIMARY KEY REFERENCES quotes (running) DEFERRABLE INITIALLY DEFERRED,
	name      text COLLATE "C" NOT NULL,
	phone     text COLLATE "C" NOT NULL,
	email     text COLLATE "C" NOT NULL,
	reference text COLLATE "C" NOT NULL,
	words     text COLLATE "C" NOT NULL -- a JSON list
);

-- The words that quotes are found by: what the lists of words above say, turned round.
-- Classes: 1 of the customer, 2 of the vehicle, 3 others.
CREATE TABLE words (
	running bigint NOT NULL,
	word    text COLLATE "C" NOT NULL,
	class   smallint NOT NULL,
	PRIMARY KEY (running, word, class)
);

CREATE INDEX words_by_word ON words (class, word, running);

CREATE TABLE revisions (
	number           text COLLATE "C" NOT NULL REFERENCES quotes (number) DEFERRABLE INITIALLY DEFERRED,
	revision         integer NOT NULL,
	create_time      timestamptz NOT NULL,
	format           integer NOT NULL,
	rules_version    text COLLATE "C" NOT NULL,
	catalog_revision text COLLATE "C" NOT NULL,
	language         text COLLATE "C" NOT NULL,
	time_zone        text COLLATE "C" NOT NULL,
	job              bytea NOT NULL,
	snapshot         bytea NOT NULL,
	PRIMARY KEY (number, revision)
);

-- The personal part of a revision, likewise apart.
CREATE TABLE personal (
	number   text COLLATE "C" NOT NULL,
	revision integer NOT NULL,
	personal bytea NOT NULL,
	PRIMARY KEY (number, revision),
	FOREIGN KEY (number, revision) REFERENCES revisions (number, revision) DEFERRABLE INITIALLY DEFERRED
);

CREATE TABLE events (
	number   text COLLATE "C" NOT NULL REFERENCES quotes (number) DEFERRABLE INITIALLY DEFERRED,
	place    integer NOT NULL, -- among the events of the quote, from 1
	revision integer NOT NULL,
	time     timestamptz NOT NULL,
	deed     text COLLATE "C" NOT NULL,
	caller   text COLLATE "C" NOT NULL,
	staff    text COLLATE "C" NOT NULL,
	reason   text COLLATE "C" NOT NULL,
	PRIMARY KEY (number, place)
);

CREATE TABLE documents (
	number      text COLLATE "C" NOT NULL,
	revision    integer NOT NULL,
	kind        text COLLATE "C" NOT NULL,
	media_type  text COLLATE "C" NOT NULL,
	create_time timestamptz NOT NULL,
	bytes       bytea NOT NULL,
	PRIMARY KEY (number, revision, kind),
	FOREIGN KEY (number, revision) REFERENCES revisions (number, revision) DEFERRABLE INITIALLY DEFERRED
);

-- What was done for the request ids of callers.
CREATE TABLE deeds (
	caller     text COLLATE "C" NOT NULL,
	request_id text COLLATE "C" NOT NULL,
	sum        bytea NOT NULL,
	number     text COLLATE "C" NOT NULL,
	revision   integer NOT NULL,
	state      text COLLATE "C" NOT NULL,
	version    bigint NOT NULL,
	time       timestamptz NOT NULL,
	PRIMARY KEY (caller, request_id)
);

-- The ledger of stock, in thousandths of a part's unit, and the balance it gives.
CREATE TABLE movements (
	id       bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
	sku      text COLLATE "C" NOT NULL,
	kind     text COLLATE "C" NOT NULL,
	quantity bigint NOT NULL,
	number   text COLLATE "C" NOT NULL, -- of the quote, or empty
	time     timestamptz NOT NULL,
	caller   text COLLATE "C" NOT NULL,
	staff    text COLLATE "C" NOT NULL,
	note     text COLLATE "C" NOT NULL
);

CREATE INDEX movements_by_number ON movements (number) WHERE number <> '';

CREATE TABLE stock (
	sku      text COLLATE "C" PRIMARY KEY,
	counted  boolean NOT NULL,
	on_hand  bigint NOT NULL,
	reserved bigint NOT NULL
);

CREATE TABLE catalogs (
	id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
	revision    text COLLATE "C" NOT NULL UNIQUE,
	create_time timestamptz NOT NULL,
	caller      text COLLATE "C" NOT NULL,
	note        text COLLATE "C" NOT NULL,
	files       bytea NOT NULL
);

-- One row: the revision of the catalog to work by.
CREATE TABLE catalog_in_force (
	one      integer PRIMARY KEY CHECK (one = 1),
	revision text COLLATE "C" NOT NULL REFERENCES catalogs (revision)
);

-- One row: the last running number given out.
CREATE TABLE counter (
	one  integer PRIMARY KEY CHECK (one = 1),
	last bigint NOT NULL
);

INSERT INTO counter (one, last) VALUES (1, 0);
