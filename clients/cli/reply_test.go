package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// replying makes a shop whose quote is the given one.
func replying(t *testing.T, q *lugbookv1.Quote) *fakeShop {
	t.Helper()
	text, err := protojson.Marshal(&lugbookv1.PreviewQuoteResponse{Quote: q})
	require.NoError(t, err)
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "quote.json"), text, 0o600))
	return &fakeShop{folder: folder}
}

// hollow puts one empty element into every list, and below it to the depth.
func hollow(m protoreflect.Message, depth int) {
	if depth == 0 {
		return
	}
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		field := fields.Get(i)
		switch {
		case field.Message() == nil || field.IsMap():
		case field.IsList():
			element := m.Mutable(field).List().AppendMutable().Message()
			hollow(element, depth-1)
		case field.ContainingOneof() == nil:
			hollow(m.Mutable(field).Message(), depth-1)
		}
	}
}

// A server of another version may leave anything out.
func TestHollowReply(t *testing.T) {
	t.Parallel()
	for depth := range 6 {
		q := &lugbookv1.Quote{}
		hollow(q.ProtoReflect(), depth)
		got := replying(t, q).run(t, tinyJob, "quote", "-", "--cost")
		assert.Equal(t, cli.Done, got.code, got.errors)
		assert.Contains(t, got.out, "Quote, preview")
	}
}

// headings gives the lines that begin a circuit: number, name and load.
func headings(out string) []string {
	var list []string
	for line := range strings.Lines(out) {
		if before, _, found := strings.Cut(line, " load "); found && !strings.Contains(before, "average") {
			list = append(list, strings.TrimSpace(before))
		}
	}
	return list
}

func TestOrderOfCircuits(t *testing.T) {
	t.Parallel()
	circuit := func(id, from string, devices ...string) *lugbookv1.Circuit {
		return &lugbookv1.Circuit{Id: id, FedFrom: from, DeviceIds: devices}
	}
	for _, c := range []struct {
		name     string
		circuits []*lugbookv1.Circuit
		want     []string
	}{
		{"branches under their trunk, wherever they stand",
			[]*lugbookv1.Circuit{circuit("a", "hub", "a"), circuit("x", "main", "x"), circuit("hub", "main", "a", "b"), circuit("b", "hub", "b")},
			[]string{"1. x", "2. a, b", "2.1 a", "2.2 b"}},
		{"trunk on a trunk",
			[]*lugbookv1.Circuit{circuit("far", "near", "a"), circuit("near", "main", "a", "b"), circuit("a", "far", "a"), circuit("b", "near", "b")},
			[]string{"1. a, b", "1.1 a", "1.1.1 a", "1.2 b"}},
		{"device called as its battery is",
			[]*lugbookv1.Circuit{circuit("main", "main", "main"), circuit("b", "main", "b")},
			[]string{"1. main", "2. b"}},
		{"ring, which loses nothing",
			[]*lugbookv1.Circuit{circuit("p", "q", "a"), circuit("q", "p", "a")},
			[]string{"1. a", "1.1 a"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got := replying(t, &lugbookv1.Quote{Design: &lugbookv1.Design{Circuits: c.circuits}}).run(t, tinyJob, "quote", "-")
			require.Equal(t, cli.Done, got.code, got.errors)
			assert.Equal(t, c.want, headings(got.out))
		})
	}
}

func TestNamesForIDs(t *testing.T) {
	t.Parallel()
	q := &lugbookv1.Quote{
		Vehicle: &lugbookv1.Vehicle{Zones: []*lugbookv1.Zone{{Id: "boot", Label: "Boot of the car"}}},
		System:  &lugbookv1.System{Devices: []*lugbookv1.Device{{Id: "amp", Label: "Amplifier"}, {Id: "pump"}}},
		Design: &lugbookv1.Design{
			Circuits:  []*lugbookv1.Circuit{{Id: "amp", Label: "Amplifier in the boot", DeviceIds: []string{"amp"}, Runs: []*lugbookv1.Run{{Id: "amp/feed", Polarity: lugbookv1.Polarity_POLARITY_FEED}}}},
			Conflicts: []*lugbookv1.Conflict{{DeviceId: "pump", Text: "Too small."}, {Text: "For all."}},
		},
	}
	for _, at := range []string{"amp", "amp/feed", "amp/unheard-of", "boot", "nobody", ""} {
		q.Design.Advice = append(q.Design.Advice, &lugbookv1.Advice{At: at, Text: "Mind it."})
	}
	got := replying(t, q).run(t, tinyJob, "quote", "-")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.Contains(t, got.out, "\nADVICE\n-  Amplifier in the boot: Mind it.\n-  Amplifier in the boot, feed: Mind it.\n"+
		"-  Amplifier in the boot: Mind it.\n-  Boot of the car: Mind it.\n-  nobody: Mind it.\n-  Mind it.\n")
	assert.Contains(t, got.out, "\n-  pump: Too small.\n-  For all.\n")
}
