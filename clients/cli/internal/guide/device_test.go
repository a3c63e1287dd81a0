package guide_test

import (
	"regexp"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/guide"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"pgregory.net/rapid"
)

func TestParseDevice(t *testing.T) {
	t.Parallel()
	for text, json := range map[string]string{
		"EQ-FRG-45@galley":                 `{"equipment_sku": "EQ-FRG-45", "zone": "galley"}`,
		" EQ-1 @ galley , quantity=2":      `{"equipment_sku": "EQ-1", "zone": "galley", "quantity": 2}`,
		"light:6W@roof":                    `{"kind": "DEVICE_KIND_LIGHT", "input_power_w": 6, "zone": "roof"}`,
		"light:0.5A@roof":                  `{"kind": "DEVICE_KIND_LIGHT", "current_a": 0.5, "zone": "roof"}`,
		"dc-dc@x":                          `{"equipment_sku": "dc-dc", "zone": "x"}`,
		"usb-charger:1.2 kW@dash":          `{"kind": "DEVICE_KIND_USB_CHARGER", "input_power_w": 1200, "zone": "dash"}`,
		"amplifier:300W@boot":              `{"kind": "DEVICE_KIND_AMPLIFIER", "audio": {"rms_w": 300}, "zone": "boot"}`,
		"amplifier:30A@boot":               `{"kind": "DEVICE_KIND_AMPLIFIER", "current_a": 30, "zone": "boot"}`,
		"inverter:2kW@boot":                `{"kind": "DEVICE_KIND_INVERTER", "output_power_w": 2000, "zone": "boot"}`,
		"E@z,label=Roof fan,battery=house": `{"equipment_sku": "E", "zone": "z", "label": "Roof fan", "fed_from": "house"}`,
		"E@z,length=18ft":                  `{"equipment_sku": "E", "zone": "z", "measured_length_m": 5.4864}`,
		"E@z,engine-off,switched":          `{"equipment_sku": "E", "zone": "z", "used_engine_off": true, "switched": true}`,
	} {
		var want lugbookv1.Device
		require.NoError(t, protojson.Unmarshal([]byte(json), &want))
		got, err := guide.ParseDevice(text)
		require.NoError(t, err, text)
		assert.True(t, proto.Equal(&want, got), "%s: want %v, got %v", text, &want, got)
	}
}

func TestParseDeviceRefuses(t *testing.T) {
	t.Parallel()
	const form, options = "does not say what is mounted where; write PART@ZONE or ", "is not known of equipment; allowed: quantity=2, battery=ID, label=TEXT, length=5.5m, engine-off, switched"
	for text, want := range map[string]string{
		"":                   `"" ` + form,
		"EQ-1":               `"EQ-1" ` + form,
		"@galley":            `"@galley" ` + form,
		"EQ-1@":              `"EQ-1@" ` + form,
		"ligth:6W@roof":      `unknown word "ligth" (did you mean "light"?); allowed: amplifier`,
		"light:6@roof":       `"6" is neither a power, such as 60W, nor a current, such as 5A`,
		"light:@roof":        `"" is neither a power`,
		"light:6V@roof":      `"6V" is neither a power`,
		"light:-6W@roof":     `"-6W" is not a power: it is below zero`,
		"light:-6A@roof":     `"-6A" is not a current: it is below zero`,
		"E@z,quantity=0":     `"0" is not a number of pieces, such as 2`,
		"E@z,quantity=many":  `"many" is not a number of pieces, such as 2`,
		"E@z,length=5":       `"5" is not a length: it has no unit`,
		"E@z,colour=red":     `"colour=red" ` + options,
		"E@z,engine-off=yes": `"engine-off=yes" ` + options,
		"E@z,quantity":       `"quantity" ` + options,
		"E@z,":               ``,
	} {
		got, err := guide.ParseDevice(text)
		if want == "" { // a comma with nothing after it says nothing
			require.NoError(t, err, text)
			continue
		}
		require.Error(t, err, text)
		assert.True(t, strings.HasPrefix(err.Error(), want), "%q: %v", text, err)
		assert.Nil(t, got)
	}
}

// Devices get ids that the contract takes, each its own, and those that have one
// keep it.
func TestNameProperty(t *testing.T) {
	t.Parallel()
	id := regexp.MustCompile(`^[a-z0-9-]{1,64}$`)
	rapid.Check(t, func(t *rapid.T) {
		sku := rapid.OneOf(rapid.SampledFrom([]string{"", "EQ-1", "eq-1", "EQ-1-2", "ÄÖ", "---"}), rapid.StringN(0, 80, -1))
		devices := make([]*lugbookv1.Device, rapid.IntRange(1, 12).Draw(t, "devices"))
		for i := range devices {
			devices[i] = &lugbookv1.Device{EquipmentSku: sku.Draw(t, "sku"), Kind: lugbookv1.DeviceKind(rapid.IntRange(0, 21).Draw(t, "kind"))}
		}
		devices[0].Id = rapid.SampledFrom([]string{"", "eq-1", "device", "eq-1-2"}).Draw(t, "id")
		before := devices[0].GetId()
		guide.Name(devices)
		seen := map[string]bool{}
		for _, d := range devices {
			if !id.MatchString(d.GetId()) || seen[d.GetId()] {
				t.Fatalf("%q among %v", d.GetId(), devices)
			}
			seen[d.GetId()] = true
		}
		if before != "" && devices[0].GetId() != before {
			t.Fatalf("%s became %s", before, devices[0].GetId())
		}
	})
}

func FuzzParseDevice(f *testing.F) {
	for _, seed := range []string{"EQ-FRG-45@galley,battery=house", "light:6W@roof,quantity=6,engine-off", "a:@,", "@@@", ",,=", "E@z,label=a=b,length=3 ft 6 in"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		device, err := guide.ParseDevice(text)
		if (device == nil) == (err == nil) {
			t.Fatalf("%q: %v and %v", text, device, err)
		}
		if err == nil && (device.GetZone() == "" || device.GetId() != "" || device.GetEquipmentSku() == "" && device.GetRating() == nil) {
			t.Fatalf("%q: %v", text, device)
		}
	})
}
