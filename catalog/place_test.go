package catalog_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTimeZoneAndRetention(t *testing.T) {
	bare := read(t, minimal(t))
	assert.Equal(t, time.UTC, bare.Shop.TimeZone, "not stated")
	assert.Zero(t, bare.Shop.RetentionDays, "not stated: for good")

	folder := minimal(t)
	change(t, folder, "shop.yaml", "validity_days: 30", "validity_days: 30\ntime_zone: America/Chicago\ncustomer_retention_days: 400")
	stated := read(t, folder)
	assert.Equal(t, "America/Chicago", stated.Shop.TimeZone.String())
	assert.Equal(t, 400, stated.Shop.RetentionDays)
	require.NotEqual(t, bare.Revision, stated.Revision)
}

func TestTimeZoneAndRetentionFaults(t *testing.T) {
	const allowed = "; allowed: a name of the IANA time zone database, such as America/Chicago, Europe/Dublin"
	for _, p := range []planted{
		{"unknown zone", "shop.yaml", "validity_days: 30", "validity_days: 30\ntime_zone: Mars/Olympus", `shop.yaml:16:12: time_zone: "Mars/Olympus" is no time zone` + allowed},
		{"the machine's zone", "shop.yaml", "validity_days: 30", "validity_days: 30\ntime_zone: Local", `shop.yaml:16:12: time_zone: "Local" is no time zone` + allowed},
		{"empty zone", "shop.yaml", "validity_days: 30", "validity_days: 30\ntime_zone: \"\"", `shop.yaml:16:12: time_zone: "" is no time zone` + allowed},
		{"way out of the folder", "shop.yaml", "validity_days: 30", "validity_days: 30\ntime_zone: ../../etc/passwd", `shop.yaml:16:12: time_zone: "../../etc/passwd" is no time zone` + allowed},
		{"negative retention", "shop.yaml", "validity_days: 30", "validity_days: 30\ncustomer_retention_days: -1",
			"shop.yaml:16:26: customer_retention_days: -1 is out of range; allowed: 0 to 36500 days"},
	} {
		t.Run(p.name, p.run)
	}
}
