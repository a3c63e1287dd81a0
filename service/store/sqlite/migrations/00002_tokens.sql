-- +goose Up

-- Who may use the service. sum is the SHA-256 of a secret that is kept nowhere.
CREATE TABLE tokens (
	name        TEXT    PRIMARY KEY,
	role        TEXT    NOT NULL,
	sum         BLOB    NOT NULL UNIQUE,
	create_time INTEGER NOT NULL,
	revoke_time INTEGER -- none: it holds
) STRICT, WITHOUT ROWID;
