-- +goose Up

-- Who may use the service. sum is the SHA-256 of a secret that is kept nowhere.
CREATE TABLE tokens (
	name        text COLLATE "C" PRIMARY KEY,
	role        text COLLATE "C" NOT NULL,
	sum         bytea NOT NULL UNIQUE,
	create_time timestamptz NOT NULL,
	revoke_time timestamptz -- none: it holds
);
