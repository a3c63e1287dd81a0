package jobfile_test

import (
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/jobfile"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"pgregory.net/rapid"
)

func TestWrite(t *testing.T) {
	t.Parallel()
	off := false
	text, err := jobfile.Write(&lugbookv1.Job{
		Customer:  &lugbookv1.Customer{Name: "yes", Address: "1 Example Street\nSampleton"},
		VehicleId: "camper-van",
		System: &lugbookv1.System{Layout: lugbookv1.LayoutChoice_LAYOUT_CHOICE_TRUNK, GrowthPercent: 12.5, Devices: []*lugbookv1.Device{{
			Id: "fridge", Kind: lugbookv1.DeviceKind_DEVICE_KIND_REFRIGERATOR, Zone: "galley", Quantity: 2, UsedEngineOff: &off,
			Rating: &lugbookv1.Device_InputPowerW{InputPowerW: 60},
			Maker:  &lugbookv1.MakerInstructions{TerminalMax: &lugbookv1.Conductor{Size: &lugbookv1.Conductor_Awg{Awg: "1/0"}}},
		}}},
		Notes: []string{"12", "# no remark", ""},
	})
	require.NoError(t, err)
	assert.Equal(t, `customer:
  name: yes
  address: |-
    1 Example Street
    Sampleton
vehicle_id: camper-van
system:
  devices:
    - id: fridge
      kind: refrigerator
      zone: galley
      quantity: 2
      input_power_w: 60
      maker:
        terminal_max:
          awg: 1/0
      used_engine_off: false
  layout: trunk
  growth_percent: 12.5
notes:
  - "12"
  - '# no remark'
  - ""
`, string(text))
}

// Whatever job there is, its file means the same job.
func TestWriteIsReadBackProperty(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var job, back lugbookv1.Job
		fill(t, job.ProtoReflect(), 4)
		text, err := jobfile.Write(&job)
		if err != nil {
			t.Fatalf("%v: %v", &job, err)
		}
		if _, err := jobfile.Read("job.yaml", strings.NewReader(string(text)), &back); err != nil {
			t.Fatalf("%s\n%v", text, err)
		}
		if !proto.Equal(&job, &back) {
			t.Fatalf("%s\nis read as %v\nand was %v", text, &back, &job)
		}
	})
}

// fill sets some fields of a message at random, down to a depth.
func fill(t *rapid.T, m protoreflect.Message, depth int) {
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		fd := fields.Get(i)
		if oneof := fd.ContainingOneof(); oneof != nil && m.WhichOneof(oneof) != nil || !rapid.Bool().Draw(t, string(fd.Name())) {
			continue
		}
		switch {
		case fd.IsList() && depth > 0:
			for range rapid.IntRange(1, 2).Draw(t, "count") {
				m.Mutable(fd).List().Append(value(t, fd, m.Mutable(fd).List().NewElement(), depth))
			}
		case fd.Message() == nil:
			m.Set(fd, value(t, fd, protoreflect.Value{}, depth))
		case depth > 0 && !fd.IsList():
			fill(t, m.Mutable(fd).Message(), depth-1)
		}
	}
	if empty := m.Descriptor().FullName() == "lugbook.v1.Conductor" && !m.Has(fields.ByName("awg")); empty {
		m.Set(fields.ByName("awg"), protoreflect.ValueOfString("8")) // a conductor of no size is not one
	}
}

// value draws a value of a field.
func value(t *rapid.T, fd protoreflect.FieldDescriptor, element protoreflect.Value, depth int) protoreflect.Value {
	switch fd.Kind() {
	case protoreflect.MessageKind:
		fill(t, element.Message(), depth-1)
		return element
	case protoreflect.EnumKind:
		return protoreflect.ValueOfEnum(protoreflect.EnumNumber(rapid.IntRange(1, fd.Enum().Values().Len()-1).Draw(t, "word")))
	case protoreflect.StringKind:
		if fd.Name() == "awg" {
			return protoreflect.ValueOfString(rapid.SampledFrom([]string{"8", "1/0", "4/0", "18"}).Draw(t, "gauge"))
		}
		return protoreflect.ValueOfString(rapid.OneOf(rapid.SampledFrom([]string{"no", "12", "null", "~", "a: b", "- a", "&a", "!b", "1e3", " x ", "a\nb", "\t", "'", "\"", "x: |"}), rapid.StringN(0, 20, -1)).Draw(t, "text"))
	case protoreflect.DoubleKind:
		return protoreflect.ValueOfFloat64(rapid.Float64Range(-1e6, 1e6).Draw(t, "number") + 0) // no zero below zero
	case protoreflect.BoolKind:
		return protoreflect.ValueOfBool(rapid.Bool().Draw(t, "truth"))
	}
	return protoreflect.ValueOfInt32(rapid.Int32().Draw(t, "count"))
}
