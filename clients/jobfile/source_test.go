package jobfile_test

import (
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/jobfile"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const placed = `vehicle_id: sedan
vehicle:
system:
  devices:
    - id: fridge
      zone: boot
    - id: lamp
      current: 5A
      maker:
        terminal_max: 8
notes: [one, two]
`

func TestSourcePosition(t *testing.T) {
	t.Parallel()
	source, err := jobfile.Read("job.yaml", strings.NewReader(placed), &lugbookv1.Job{})
	require.NoError(t, err)
	for _, c := range []struct {
		path         string
		line, column int
	}{
		{"vehicle_id", 1, 13},
		{"vehicle", 2, 1}, // a blank: the key
		{"vehicle.zones[0].id", 2, 1},
		{"system", 3, 1},
		{"system.devices", 4, 3},
		{"system.devices[0]", 5, 7},
		{"system.devices[0].zone", 6, 13},
		{"system.devices[0].rating", 5, 7},                   // not written: the device
		{"system.devices[1].current_a", 8, 16},               // written without its suffix
		{"system.devices[1].maker.terminal_max.awg", 10, 23}, // written as a size alone
		{"system.devices[1].maker.fuse_a", 9, 7},
		{"system.devices[7].zone", 4, 3},
		{"notes[1]", 11, 14},
		{"customer.name", 1, 1},
		{"", 1, 1},
		{"]..[", 1, 1},
	} {
		t.Run(c.path, func(t *testing.T) {
			t.Parallel()
			line, column, ok := source.Position(c.path)
			require.True(t, ok)
			assert.Equal(t, [2]int{c.line, c.column}, [2]int{line, column})
		})
	}
}

func TestZeroSource(t *testing.T) {
	t.Parallel()
	_, _, ok := new(jobfile.Source).Position("system.devices[0]")
	assert.False(t, ok)
}
