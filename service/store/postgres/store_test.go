package postgres_test

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"sync/atomic"
	"testing"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/postgres"
	"example.com/lugbook/service/store/storetest"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var _ quoting.Store = (*postgres.Store)(nil)

func TestConformance(t *testing.T) {
	t.Parallel()
	storetest.Run(t, func(t *testing.T) quoting.Store {
		url := schema(t)
		return &emptied{Store: open(t, url), url: url}
	})
}

// emptied is a store that a test can empty, which is far quicker than to make another
// schema.
type emptied struct {
	*postgres.Store
	url string
}

// Empty removes everything, the tables' versions excepted.
func (e *emptied) Empty(ctx context.Context) error {
	conn, err := pgx.Connect(ctx, e.url)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, `BEGIN;
		DELETE FROM documents; DELETE FROM personal; DELETE FROM revisions; DELETE FROM events; DELETE FROM customers; DELETE FROM words;
		DELETE FROM quotes; DELETE FROM deeds; DELETE FROM movements; DELETE FROM stock; DELETE FROM catalog_in_force; DELETE FROM catalogs; DELETE FROM tokens;
		UPDATE counter SET last = 0;
		COMMIT`)
	return err
}

// open opens a store for the time of a test.
func open(t testing.TB, url string) *postgres.Store {
	t.Helper()
	s, err := postgres.Open(t.Context(), url)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s
}

// server gives the URL of the server to test with. Without one the test is skipped, or
// fails where the tools are required.
func server(t testing.TB) string {
	t.Helper()
	url := os.Getenv("LUGBOOK_POSTGRES_URL")
	if url != "" {
		return url
	}
	const advice = "there is no PostgreSQL: apt-get install -y postgresql, start a server and put the URL of a database of it into LUGBOOK_POSTGRES_URL"
	if os.Getenv("LUGBOOK_REQUIRE_TOOLS") == "1" || os.Getenv("CI") == "true" {
		require.Fail(t, advice)
	}
	t.Skip(advice)
	return ""
}

var schemas atomic.Int64

// schema makes a schema for the time of a test and gives the URL by which it is the
// only one.
func schema(t testing.TB) string {
	t.Helper()
	base := server(t)
	name := fmt.Sprintf("test_%d_%d", os.Getpid(), schemas.Add(1))
	conn, err := pgx.Connect(t.Context(), base)
	require.NoError(t, err)
	defer conn.Close(t.Context())
	_, err = conn.Exec(t.Context(), `CREATE SCHEMA `+name)
	require.NoError(t, err)
	t.Cleanup(func() { drop(t, base, name) })
	parsed, err := url.Parse(base)
	require.NoError(t, err)
	query := parsed.Query()
	query.Set("search_path", name)
	parsed.RawQuery = query.Encode()
	return parsed.String()
}

// drop removes a schema after a test, when the test's own context has ended.
func drop(t testing.TB, base, name string) {
	t.Helper()
	ctx := context.WithoutCancel(t.Context())
	conn, err := pgx.Connect(ctx, base)
	require.NoError(t, err)
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, `DROP SCHEMA `+name+` CASCADE`)
	assert.NoError(t, err)
}
