package jobfile_test

import (
	"os"
	"path/filepath"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/jobfile"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The examples of the documentation are read, and as what they say.
func TestExamples(t *testing.T) {
	t.Parallel()
	devices := map[string]int{
		"camper-van.yaml": 6, "touring-motorcycle.yaml": 2, "open-boat.yaml": 5,
		"side-by-side.yaml": 4, "service-truck-24v.yaml": 5, "sedan-audio.yaml": 3,
	}
	names, err := filepath.Glob("../../docs/examples/*.yaml")
	require.NoError(t, err)
	require.Len(t, names, len(devices))
	for _, name := range names {
		var job lugbookv1.Job
		file, err := os.Open(name)
		require.NoError(t, err)
		_, err = jobfile.Read(name, file, &job)
		require.NoError(t, file.Close())
		require.NoError(t, err)
		assert.NotEmpty(t, job.GetVehicleId(), name)
		assert.Len(t, job.GetSystem().GetDevices(), devices[filepath.Base(name)], name)
		for _, d := range job.GetSystem().GetDevices() {
			assert.True(t, d.GetRating() != nil || d.GetEquipmentSku() != "", "%s: %s has no rating", name, d.GetId())
		}
	}
}

// The quantities of the example with the most spellings, by hand.
func TestExampleQuantities(t *testing.T) {
	t.Parallel()
	var job lugbookv1.Job
	file, err := os.Open("../../docs/examples/side-by-side.yaml")
	require.NoError(t, err)
	_, err = jobfile.Read("side-by-side.yaml", file, &job)
	require.NoError(t, file.Close())
	require.NoError(t, err)
	winch := job.GetSystem().GetDevices()[2]
	assert.InDelta(t, 100, winch.GetCurrentA(), 0)
	assert.InDelta(t, 0.3, winch.GetSurge().GetSeconds(), 0)
	assert.InDelta(t, 240, winch.GetDuty().GetOffS(), 0)
	assert.Equal(t, "6", winch.GetMaker().GetConductorMin().GetAwg())
	assert.Equal(t, "M6", winch.GetMaker().GetNegative().GetStud())
}
