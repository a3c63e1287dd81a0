package jobfile_test

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/jobfile"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
)

// job is the message that protojson gives for the text.
func job(t *testing.T, text string) *lugbookv1.Job {
	t.Helper()
	var want lugbookv1.Job
	require.NoError(t, protojson.Unmarshal([]byte(text), &want))
	return &want
}

func TestRead(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, yaml, want string }{
		{"plain fields and short enum words",
			"vehicle_id: open-boat\nvehicle: {category: boat, fuel: petrol}\n",
			`{"vehicle_id": "open-boat", "vehicle": {"category": "VEHICLE_CATEGORY_BOAT", "fuel": "FUEL_PETROL"}}`},
		{"enum words in every spelling",
			"system:\n  devices:\n  - audio: {amplifier_class: d}\n  - audio: {amplifier_class: class_d}\n" +
				"  - audio: {amplifier_class: AMPLIFIER_CLASS_AB}\n  - kind: trolling-motor\n  - kind: Head Unit\n",
			`{"system": {"devices": [{"audio": {"amplifier_class": "AMPLIFIER_CLASS_D"}},
				{"audio": {"amplifier_class": "AMPLIFIER_CLASS_D"}}, {"audio": {"amplifier_class": "AMPLIFIER_CLASS_AB"}},
				{"kind": "DEVICE_KIND_TROLLING_MOTOR"}, {"kind": "DEVICE_KIND_HEAD_UNIT"}]}}`},
		{"units in the value",
			"vehicle:\n  batteries: [{capacity: 95Ah, internal_resistance: 3.5 mohm}]\n  zones: [{ambient: 122F, reach: 80cm}]\n  routes: [{length: 10ft}]\n" +
				"system:\n  devices: [{current: 250mA, duty: {on: 1 min, off: 240s}}, {input_power: 1.2kW, min: 10.4V}, {max_drop_percent: 3%}]\n",
			`{"vehicle": {"batteries": [{"capacity_ah": 95, "internal_resistance_mohm": 3.5}],
				"zones": [{"ambient_c": 50, "reach_m": 0.8}], "routes": [{"length_m": 3.048}]},
			  "system": {"devices": [{"current_a": 0.25, "duty": {"on_s": 60, "off_s": 240}},
				{"input_power_w": 1200, "min_v": 10.4}, {"max_drop_percent": 3}]}}`},
		{"the suffix with a bare number or a quantity",
			"system:\n  devices: [{current_a: 60, measured_length_m: 18ft}, {current_a: \"60\"}, {current_a: \"7,5\"}, {input_power_w: 1e2}]\n",
			`{"system": {"devices": [{"current_a": 60, "measured_length_m": 5.4864}, {"current_a": 60}, {"current_a": 7.5}, {"input_power_w": 100}]}}`},
		{"a field that is all unit",
			"system: {devices: [{surge: {current: 20A, seconds: 0.1}}, {surge: {seconds: 100 ms}}]}\n",
			`{"system": {"devices": [{"surge": {"current_a": 20, "seconds": 0.1}}, {"surge": {"seconds": 0.1}}]}}`},
		{"conductors as their size alone",
			"system:\n  devices:\n  - maker: {conductor_min: 8 AWG, terminal_max: 4, positive: {largest: 16mm2}, negative: {largest: 00}}\n",
			`{"system": {"devices": [{"maker": {"conductor_min": {"awg": "8"}, "terminal_max": {"awg": "4"},
				"positive": {"largest": {"area_mm2": 16}}, "negative": {"largest": {"awg": "2/0"}}}}]}}`},
		{"conductors with their make",
			"system:\n  devices:\n  - maker: {conductor_min: {awg: 8ga, material: tinned_copper}, terminal_max: {area: 25 mm2}}\n" +
				"  - maker: {conductor_min: {size: 1/0, insulation_c: 105C}, terminal_max: {size: 35mm2}}\n",
			`{"system": {"devices": [{"maker": {"conductor_min": {"awg": "8", "material": "MATERIAL_TINNED_COPPER"},
				"terminal_max": {"area_mm2": 25}}}, {"maker": {"conductor_min": {"awg": "1/0", "insulation_c": 105},
				"terminal_max": {"area_mm2": 35}}}]}}`},
		{"text that looks like something else",
			"customer: {name: 007, phone: 5550100, reference: 2026-11-24, address: yes}\nnotes: [12, true]\n",
			`{"customer": {"name": "007", "phone": "5550100", "reference": "2026-11-24", "address": "yes"}, "notes": ["12", "true"]}`},
		{"truth values and whole numbers",
			"system: {devices: [{switched: yes, used_engine_off: off, quantity: 2}, {used_engine_off: TRUE, quantity: \"3\"}]}\n",
			`{"system": {"devices": [{"switched": true, "used_engine_off": false, "quantity": 2}, {"used_engine_off": true, "quantity": 3}]}}`},
		{"blanks of a form",
			"customer:\n  name:\n  phone: ~\nvehicle_id: sedan\nvehicle:\nsystem: {devices: [{current_a: , input_power_w: 5}]}\n",
			`{"customer": {}, "vehicle_id": "sedan", "system": {"devices": [{"input_power_w": 5}]}}`},
		{"byte order mark, carriage returns and comments",
			"\ufeff# a job\r\nvehicle_id: sedan # the blue one\r\n",
			`{"vehicle_id": "sedan"}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got := lugbookv1.Job{Notes: []string{"from before"}}
			source, err := jobfile.Read("job.yaml", strings.NewReader(c.yaml), &got)
			require.NoError(t, err)
			assert.Equal(t, "job.yaml", source.Name())
			want := job(t, c.want)
			assert.True(t, proto.Equal(want, &got), "want %v\n got %v", want, &got)
		})
	}
}

func TestReadInsulationOfConductor(t *testing.T) {
	t.Parallel()
	// insulation is a field of its own, so it never stands for insulation_c.
	var got lugbookv1.Conductor
	_, err := jobfile.Read("c.yaml", strings.NewReader("awg: 4\ninsulation: silicone\ninsulation_c: 180\n"), &got)
	require.NoError(t, err)
	assert.Equal(t, lugbookv1.Insulation_INSULATION_SILICONE, got.GetInsulation())
	assert.InDelta(t, 180, got.GetInsulationC(), 0)
}

func TestReadLeavesMessageOnFault(t *testing.T) {
	t.Parallel()
	got := lugbookv1.Job{VehicleId: "sedan"}
	source, err := jobfile.Read("job.yaml", strings.NewReader("vehicle_id: open-boat\ncolour: red\n"), &got)
	require.Error(t, err)
	assert.Nil(t, source)
	assert.Equal(t, "sedan", got.GetVehicleId())
}

func TestReadPassesReaderErrorOn(t *testing.T) {
	t.Parallel()
	broken := errors.New("disk gone")
	_, err := jobfile.Read("job.yaml", iotest.ErrReader(broken), &lugbookv1.Job{})
	require.ErrorIs(t, err, broken)
	var faults jobfile.Faults
	assert.NotErrorAs(t, err, &faults)
}

// countingReader gives spaces for ever and counts them.
type countingReader struct{ given int }

func (r *countingReader) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	r.given += len(p)
	return len(p), nil
}

func TestReadStopsAtLimit(t *testing.T) {
	t.Parallel()
	var endless countingReader
	_, err := jobfile.Read("job.yaml", &endless, &lugbookv1.Job{})
	require.EqualError(t, err, "job.yaml:1:1: the file is larger than 1 MiB")
	assert.LessOrEqual(t, endless.given, 2*jobfile.MaxBytes, "read far beyond the limit")

	full := "notes: [\"" + strings.Repeat("x", jobfile.MaxBytes-len("notes: [\"\"]")) + "\"]"
	require.Len(t, full, jobfile.MaxBytes)
	_, err = jobfile.Read("job.yaml", strings.NewReader(full), &lugbookv1.Job{})
	require.NoError(t, err)
	_, err = jobfile.Read("job.yaml", io.MultiReader(strings.NewReader(full), strings.NewReader("\n")), &lugbookv1.Job{})
	require.Error(t, err)
}
