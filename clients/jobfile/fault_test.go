package jobfile_test

import (
	"fmt"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/jobfile"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadFaults(t *testing.T) {
	t.Parallel()
	const kinds = "amplifier, head_unit, light, fan, pump, refrigerator, inverter, charger, usb_charger, heater, motor, " +
		"trolling_motor, winch, windlass, compressor, radio, navigation, heated_gear, horn, socket, other"
	const jobKeys = "customer, vehicle, vehicle_id, system, terms, notes"
	for _, c := range []struct {
		name, yaml string
		want       []string
	}{
		{"empty", "", []string{"f:1:1: the file is empty"}},
		{"comments only", "# nothing yet\n", []string{"f:1:1: the file is empty"}},
		{"null", "~\n", []string{"f:1:1: the file is empty"}},
		{"NUL byte", "vehicle_id: a\nno\x00tes:", []string{"f:2:3: this is not text: the file must be YAML in UTF-8"}},
		{"not UTF-8", "customer: {name: \"é\xff\"}", []string{"f:1:20: this is not text: the file must be YAML in UTF-8"}},
		{"UTF-16", "\xff\xfev\x00", []string{"f:1:1: this is not text: the file must be YAML in UTF-8"}},
		{"plain text", "hello", []string{`f:1:1: keys are wanted here, such as "customer:", not "hello"`}},
		{"a list", "- a\n", []string{`f:1:1: keys are wanted here, such as "customer:", not a list`}},
		{"second document", "vehicle_id: a\n---\nvehicle_id: b\n",
			[]string{"f:2:1: a second document begins here; write one to a file"}},
		{"unknown key with a near miss", "vehicel_id: sedan\n",
			[]string{`f:1:1: unknown key "vehicel_id" (did you mean "vehicle_id"?); allowed: ` + jobKeys}},
		{"key in JSON spelling", "vehicleId: sedan\n",
			[]string{`f:1:1: unknown key "vehicleId" (did you mean "vehicle_id"?); allowed: ` + jobKeys}},
		{"part of a key", "system: {devices: [{audio: {class: d}}]}\n",
			[]string{`f:1:29: unknown key "class" (did you mean "amplifier_class"?); allowed: rms_w, channels, amplifier_class, efficiency, onboard_fuse_a, regulated`}},
		{"unknown key far from all", "paint: red\n", []string{`f:1:1: unknown key "paint"; allowed: ` + jobKeys}},
		{"merge key", "<<: {vehicle_id: a}\n", []string{`f:1:1: unknown key "<<"; allowed: ` + jobKeys}},
		{"key that is a list", "? [a]\n: b\n", []string{"f:1:3: a key is one word, not a list"}},
		{"key given twice", "vehicle_id: a\nvehicle_id: b\n",
			[]string{"f:2:1: vehicle_id is given twice; it stands at line 1 already"}},
		{"key given twice, once without its unit", "current: 5A\ncurrent_a: 5\n",
			[]string{"f:2:1: current_a is given twice; it stands at line 1 already"}},
		{"two ratings", "current: 5A\nlabel: lamp\ninput_power: 60W\n",
			[]string{"f:3:1: two ratings: current stands at line 1 already; give one; allowed: current_a, input_power_w, audio, output_power_w"}},
		{"two sizes", "maker: {conductor_min: {awg: 8, area: 10mm2}}\n",
			[]string{"f:1:33: two sizes: awg stands at line 1 already; give one; allowed: awg, area_mm2"}},
		{"unknown word with a near miss", "kind: ligth\n",
			[]string{`f:1:7: unknown kind "ligth" (did you mean "light"?); allowed: ` + kinds}},
		{"unknown word far from all", "kind: toaster\n", []string{`f:1:7: unknown kind "toaster"; allowed: ` + kinds}},
		{"part of a word", "kind: by_side\n", []string{`f:1:7: unknown kind "by_side"; allowed: ` + kinds}},
		{"the word for not given", "kind: unspecified\n", []string{`f:1:7: unknown kind "unspecified"; allowed: ` + kinds}},
		{"enum by number", "kind: 3\n", []string{`f:1:7: unknown kind "3"; allowed: ` + kinds}},
		{"length without its unit", "measured_length: 18\n",
			[]string{`f:1:18: measured_length_m: "18" is not a length: it has no unit; write m, cm, mm, ft or in`}},
		{"unit of something else", "current: 60W\n",
			[]string{`f:1:10: current_a: "60W" is not a current: W is a unit of power; write A, mA or kA`}},
		{"word for a number", "current_a: lots\n",
			[]string{`f:1:12: current_a: "lots" is not a current: it does not begin with a number; write A, mA or kA`}},
		{"unit where there is none", "efficiency: 90%\n", []string{`f:1:13: efficiency: "90%" is not a number`}},
		{"YAML's not a number", "current_a: .nan\n", []string{`f:1:12: current_a: ".nan" is not a finite number`}},
		{"YAML's infinity", "min_v: -.Inf\n", []string{`f:1:8: min_v: "-.Inf" is not a finite number`}},
		{"infinity as a word", "min_v: Infinity\n", []string{`f:1:8: min_v: "Infinity" is not a finite number`}},
		{"beyond floating point", "efficiency: 1e999\n", []string{`f:1:13: efficiency: "1e999" is not a finite number`}},
		{"broken count", "quantity: 1.5\n", []string{`f:1:11: quantity: "1.5" is not a whole number`}},
		{"count beyond 32 bits", "quantity: 4294967297\n", []string{`f:1:11: quantity: "4294967297" is not a whole number`}},
		{"neither true nor false", "switched: maybe\n", []string{`f:1:11: switched: "maybe" is not true or false`}},
		{"list for a value", "id: [a]\n", []string{"f:1:5: id is a single value, not a list"}},
		{"keys for a value", "id: {a: b}\n", []string{"f:1:5: id is a single value, not keys and values"}},
		{"value for keys", "duty: always\n", []string{`f:1:7: keys are wanted here, such as "kind:", not "always"`}},
		{"value for a list", "system: {devices: fridge}\n", []string{`f:1:19: devices is a list: begin each item with "- "`}},
		{"empty item", "system:\n  devices:\n  -\n  - id: a\n", []string{"f:3:4: item 1 of devices is empty"}},
		{"size that is none", "maker: {terminal_max: 4mm}\n",
			[]string{`f:1:23: "4mm" is not a conductor size: millimetres of cable may mean its outside diameter, square millimetres are mm2; write 8, 1/0 or 16 mm2`}},
		{"metric size as gauge", "maker: {conductor_min: {awg: 16mm2}}\n",
			[]string{`f:1:30: awg: "16mm2" is not a gauge; write area_mm2`}},
		{"anchor and alias", "id: &a x\nzone: *a\n",
			[]string{"f:1:5: anchors (&a) are not read; write the value out where it is needed",
				"f:2:7: aliases (*a) are not read; write the value out"}},
		{"tag", "id: !!binary aGk=\n", []string{`f:1:5: tags ("!!binary") are not read; write the plain value`}},
		{"all at once, in the order of the file", "kind: lamp\nzoen: x\nmin_v: high\n",
			[]string{`f:1:7: unknown kind "lamp"; allowed: ` + kinds,
				`f:2:1: unknown key "zoen" (did you mean "zone"?); allowed: id, label, kind, equipment_sku, zone, quantity, fed_from, ` +
					"current_a, input_power_w, audio, output_power_w, behaviour, duty, surge, min_v, max_drop_percent, drop_class, maker, customer_supplied, " +
					"measured_length_m, switched, used_engine_off, efficiency, no_default_leads, nominal_v, converter",
				`f:3:8: min_v: "high" is not a voltage: it does not begin with a number; write V or mV`}},
		{"control characters are not repeated", "kind: \"a\\e[31mb\\n\"\n", []string{`f:1:7: unknown kind "a\x1b[31mb\n"; allowed: ` + kinds}},
		{"long text is cut", "kind: " + strings.Repeat("é", 60) + "\n",
			[]string{`f:1:7: unknown kind "` + strings.Repeat("é", 39) + `…"; allowed: ` + kinds}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.want, faultLines(t, c.yaml))
		})
	}
}

// faultLines reads the text as a job, or as a device where it begins with a key
// of one, and gives its faults.
func faultLines(t *testing.T, text string) []string {
	t.Helper()
	for _, key := range []string{"kind", "current", "id:", "maker", "quantity", "switched", "duty", "measured", "efficiency", "min_v"} {
		if strings.HasPrefix(text, key) {
			_, err := jobfile.Read("f", strings.NewReader(text), &lugbookv1.Device{})
			return lines(t, err)
		}
	}
	_, err := jobfile.Read("f", strings.NewReader(text), &lugbookv1.Job{})
	return lines(t, err)
}

func lines(t *testing.T, err error) []string {
	t.Helper()
	var faults jobfile.Faults
	require.ErrorAs(t, err, &faults)
	text := make([]string, len(faults))
	for i, f := range faults {
		text[i] = f.Error()
	}
	return text
}

func TestReadBrokenYAML(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, yaml, want string }{
		{"open bracket", "vehicle_id: [a\n", "not valid YAML"},
		{"tab", "customer:\n\tname: x\n", "indent by spaces, not tabs"},
		{"two colons", "vehicle_id: a: b\n", "not valid YAML"},
		{"second document broken", "vehicle_id: a\n---\n[", "not valid YAML"},
		{"deeper than the parser goes", strings.Repeat("[", 20000), "not valid YAML"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := jobfile.Read("f", strings.NewReader(c.yaml), &lugbookv1.Job{})
			got := lines(t, err)
			require.Len(t, got, 1)
			assert.Contains(t, got[0], c.want)
			assert.NotContains(t, got[0], "\n")
			assert.Regexp(t, `^f:\d+:1: `, got[0])
		})
	}
}

func TestReadDepth(t *testing.T) {
	t.Parallel()
	nested := func(depth int) string { return "notes: " + strings.Repeat("[", depth) + strings.Repeat("]", depth) }
	_, err := jobfile.Read("f", strings.NewReader(nested(jobfile.MaxDepth+1)), &lugbookv1.Job{})
	assert.Equal(t, []string{"f:1:40: lists and mappings are nested more than 32 deep"}, lines(t, err))
	_, err = jobfile.Read("f", strings.NewReader(nested(jobfile.MaxDepth)), &lugbookv1.Job{})
	assert.Equal(t, []string{"f:1:9: notes is a single value, not a list"}, lines(t, err))
}

func TestFaultsTextIsBounded(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	for i := range 60 {
		fmt.Fprintf(&b, "key%d: x\n", i)
	}
	_, err := jobfile.Read("f", strings.NewReader(b.String()), &lugbookv1.Job{})
	var faults jobfile.Faults
	require.ErrorAs(t, err, &faults)
	assert.Len(t, faults, 60)
	text := strings.Split(err.Error(), "\n")
	require.Len(t, text, 51)
	assert.Equal(t, "… and 10 more", text[50])
}
