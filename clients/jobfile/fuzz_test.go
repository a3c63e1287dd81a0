package jobfile_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/jobfile"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protopath"
	"google.golang.org/protobuf/reflect/protorange"
)

func FuzzRead(f *testing.F) {
	examples, err := filepath.Glob("../../docs/examples/*.yaml")
	require.NoError(f, err)
	for _, name := range examples {
		text, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(text)
	}
	for _, text := range []string{
		placed, "", "a: &a [*a]", "{{{{", "? ? ?", "system: {devices: [{current: 1e999A}]}", "\xff", "- - - -", "!!x {}",
		"---\n---", "vehicle: {batteries: [{capacity: '95 Ah'}]}", "notes: |\n  a\n  b\n", "%YAML 1.1\n---\na", "system: {<<: *x}",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var job lugbookv1.Job
		source, err := jobfile.Read("f", bytes.NewReader(text), &job)
		if err != nil {
			requireTidyFaults(t, err)
			require.Nil(t, source)
			require.Zero(t, proto.Size(&job))
			return
		}
		requireFinite(t, &job)
		line, column, ok := source.Position("system.devices[0].zone")
		require.True(t, ok)
		require.Positive(t, line)
		require.Positive(t, column)
	})
}

// requireTidyFaults demands that a fault has a place and that its text is one
// line that a terminal may show.
func requireTidyFaults(t *testing.T, err error) {
	t.Helper()
	var faults jobfile.Faults
	require.ErrorAs(t, err, &faults)
	require.NotEmpty(t, faults)
	for _, fault := range faults {
		require.Positive(t, fault.Line)
		require.Positive(t, fault.Column)
		for _, r := range fault.Error() {
			require.False(t, r < ' ' || r == 0x7f, "control character in %q", fault.Error())
		}
	}
}

// requireFinite demands that every number of the message is one.
func requireFinite(t *testing.T, m proto.Message) {
	t.Helper()
	require.NoError(t, protorange.Range(m.ProtoReflect(), func(values protopath.Values) error {
		if v, ok := values.Index(-1).Value.Interface().(float64); ok {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0))
		}
		return nil
	}))
}
