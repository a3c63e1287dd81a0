package cli_test

import (
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
)

// words divides a command line at its spaces, but for those between quotes.
func words(line string) []string {
	var args []string
	for i, piece := range strings.Split(strings.ReplaceAll(line, `"`, "'"), "'") {
		if i%2 == 1 {
			args = append(args, piece)
			continue
		}
		args = append(args, strings.Fields(piece)...)
	}
	return args
}

func TestRequests(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, line string
		want       proto.Message
		json       string
	}{
		{"current", "size --current 60A --length 5.5m", &lugbookv1.SizeRunRequest{}, `{"current_a": 60, "length_m": 5.5}`},
		{"flags before the command and joined", "--units=metric --lang es size --length=18ft --current=7.5",
			&lugbookv1.SizeRunRequest{}, `{"current_a": 7.5, "length_m": 5.4864, "unit_system": "UNIT_SYSTEM_METRIC", "language": "es"}`},
		{"everything", "size --current '1.2 kA' --length '3 ft 6 in' --return chassis --drop 3% --volts 24V --environment engine-space " +
			"--ambient 122F --material tinned_copper --insulation 105 --kind winch --category truck --bundled 4",
			&lugbookv1.SizeRunRequest{}, `{"current_a": 1200, "length_m": 1.0668, "return_path": "RETURN_PATH_CHASSIS", "max_drop_percent": 3,
			"nominal_v": 24, "environment": "ENVIRONMENT_ENGINE_SPACE", "ambient_c": 50,
			"conductor": {"material": "MATERIAL_TINNED_COPPER", "insulation_c": 105}, "device_kind": "DEVICE_KIND_WINCH",
			"category": "VEHICLE_CATEGORY_TRUCK", "bundled_with": 4}`},
		{"cold", "size --current 5 --length 1m --ambient -20C", &lugbookv1.SizeRunRequest{},
			`{"current_a": 5, "length_m": 1, "ambient_c": -20}`},
		{"insulation alone", "size --current 5 --length 1m --insulation 221F", &lugbookv1.SizeRunRequest{},
			`{"current_a": 5, "length_m": 1, "conductor": {"insulation_c": 105}}`},
		{"watts taken in", "size --watts 180 --length 4m --kind light", &lugbookv1.SizeRunRequest{},
			`{"input_power_w": 180, "length_m": 4, "device_kind": "DEVICE_KIND_LIGHT"}`},
		{"watts of an amplifier by class", "size --watts 1000 --class d --length 17ft --return chassis", &lugbookv1.SizeRunRequest{},
			`{"audio": {"rms_w": 1000, "amplifier_class": "AMPLIFIER_CLASS_D"}, "length_m": 5.1816, "return_path": "RETURN_PATH_CHASSIS"}`},
		{"watts of an amplifier by kind", "size --watts 0.3kW --kind amplifier --length 2m", &lugbookv1.SizeRunRequest{},
			`{"audio": {"rms_w": 300}, "length_m": 2, "device_kind": "DEVICE_KIND_AMPLIFIER"}`},
		{"watts of an amplifier by word", "size --watts 300 --rms --length 2m", &lugbookv1.SizeRunRequest{},
			`{"audio": {"rms_w": 300}, "length_m": 2}`},
		{"watts and fuses of an amplifier", "size --watts 300 --onboard-fuse 40 --length 2m", &lugbookv1.SizeRunRequest{},
			`{"audio": {"rms_w": 300, "onboard_fuse_a": 40}, "length_m": 2}`},
		{"only the fuses of an amplifier", "size --onboard-fuse 80A --length 2m", &lugbookv1.SizeRunRequest{},
			`{"audio": {"onboard_fuse_a": 80}, "length_m": 2}`},
		{"watts of an inverter", "size --watts 2kW --kind inverter --length 1.2m", &lugbookv1.SizeRunRequest{},
			`{"output_power_w": 2000, "length_m": 1.2, "device_kind": "DEVICE_KIND_INVERTER"}`},
		{"current of an inverter", "size --current 185A --kind inverter --length 1.2m", &lugbookv1.SizeRunRequest{},
			`{"current_a": 185, "length_m": 1.2, "device_kind": "DEVICE_KIND_INVERTER"}`},
		{"zero is passed on to be judged", "size --current 0 --length 0m", &lugbookv1.SizeRunRequest{}, `{"current_a": 0}`},
		{"joint on a stud", "joint --conductor 4 --stud M8", &lugbookv1.PlanTerminationRequest{},
			`{"conductor": {"awg": "4"}, "landing": {"kind": "LANDING_KIND_STUD", "stud": "M8"}}`},
		{"joint with everything", "joint --conductor '16 mm2' --landing set_screw --category boat --environment wet_locker --material tinned-copper --units us",
			&lugbookv1.PlanTerminationRequest{}, `{"conductor": {"area_mm2": 16, "material": "MATERIAL_TINNED_COPPER"},
			"landing": {"kind": "LANDING_KIND_SET_SCREW"}, "category": "VEHICLE_CATEGORY_BOAT", "environment": "ENVIRONMENT_WET_LOCKER", "unit_system": "UNIT_SYSTEM_US"}`},
		{"joint on the chassis with its stud", "joint --conductor 2/0 --landing chassis --stud 5/16", &lugbookv1.PlanTerminationRequest{},
			`{"conductor": {"awg": "2/0"}, "landing": {"kind": "LANDING_KIND_CHASSIS", "stud": "5/16"}}`},
		{"parts", "catalog parts ring tinned --kind terminal --size 1/0 --stud M8 --page-size 5 --page-token abc --cost", &lugbookv1.ListPartsRequest{},
			`{"text": "ring tinned", "kind": "PART_KIND_TERMINAL", "size": "1/0", "stud": "M8", "page_size": 5, "page_token": "abc", "include_cost": true}`},
		{"fuses by rating", "catalog parts --rating 60", &lugbookv1.ListPartsRequest{}, `{"rating_a": 60}`},
		{"vehicles", "catalog vehicles --text van --category van --page-size 2", &lugbookv1.ListVehiclesRequest{},
			`{"text": "van", "category": "VEHICLE_CATEGORY_VAN", "page_size": 2}`},
		{"one vehicle", "catalog vehicles sedan", &lugbookv1.GetVehicleRequest{}, `{"id": "sedan"}`},
		{"quote", "quote - --cost --units us", &lugbookv1.PreviewQuoteRequest{},
			`{"source": {"job": {"vehicle_id": "camper-van", "system": {"devices": [{"id": "fridge", "kind": "DEVICE_KIND_REFRIGERATOR",
			"zone": "galley", "input_power_w": 60}]}}}, "include_cost": true, "unit_system": "UNIT_SYSTEM_US"}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var shop fakeShop
			got := shop.run(t, tinyJob, words(c.line)...)
			require.Equal(t, cli.Done, got.code, got.errors)
			require.NoError(t, protojson.Unmarshal([]byte(c.json), c.want))
			assert.True(t, proto.Equal(c.want, shop.got), "want %v\n got %v", c.want, shop.got)
		})
	}
}

func TestMisuse(t *testing.T) {
	t.Parallel()
	const sizeHelp = "hint: \"lugbook size --help\" explains the flags\n"
	const jointHelp = "hint: \"lugbook joint --help\" explains the flags\n"
	for _, c := range []struct{ name, line, want string }{
		{"unknown command", "quot x.yaml", "lugbook: there is no command \"lugbook quot\"\nhint: did you mean \"lugbook quote\"?\n"},
		{"unknown command far from all", "bake", "lugbook: there is no command \"lugbook bake\"\nhint: \"lugbook --help\" lists the commands\n"},
		{"unknown subcommand", "catalog part", "lugbook: there is no command \"lugbook catalog part\"\nhint: did you mean \"lugbook catalog parts\"?\n"},
		{"half a command", "catalog", "lugbook: not given: what of the catalog to show\nhint: \"lugbook catalog --help\" lists what there is\n"},
		{"letters of a command in the wrong order", "qoute x.yaml", "lugbook: there is no command \"lugbook qoute\"\nhint: did you mean \"lugbook quote\"?\n"},
		{"unknown flag", "size --sparkle 60A", "lugbook: unknown flag: --sparkle\n" + sizeHelp},
		{"misspelt flag", "size --materal copper", "lugbook: unknown flag: --materal\nhint: did you mean --material?\n"},
		{"flag cut short", "size --cur 60A", "lugbook: unknown flag: --cur\nhint: did you mean --current?\n"},
		{"flag without value", "size --current", "lugbook: flag needs an argument: --current\n" + sizeHelp},
		{"nothing given", "size", "lugbook: not given: the load (--current 60A or --watts 180) and the length one way (--length 5.5m or --length 18ft)\n" + sizeHelp},
		{"no length", "size --current 60A", "lugbook: not given: the length one way (--length 5.5m or --length 18ft)\n" + sizeHelp},
		{"length without unit", "size --current 60A --length 17",
			"lugbook: --length: \"17\" is not a length: it has no unit; write m, cm, mm, ft or in\n" + sizeHelp},
		{"ambient without unit", "size --ambient 50",
			"lugbook: --ambient: \"50\" is not a temperature: it has no unit; write °C, °F or K\n" + sizeHelp},
		{"unit of something else", "size --current 60V",
			"lugbook: --current: \"60V\" is not a current: V is a unit of voltage; write A, mA or kA\n" + sizeHelp},
		{"unknown word", "size --return chasis",
			"lugbook: --return: unknown word \"chasis\" (did you mean \"chassis\"?); allowed: conductor, chassis\n" + sizeHelp},
		{"count that is none", "size --bundled many", "lugbook: --bundled: \"many\" is not a whole number from -2147483648 to 2147483647\n" + sizeHelp},
		{"switch that is neither on nor off", "size --rms=maybe", "lugbook: --rms: \"maybe\" is not true or false\n" + sizeHelp},
		{"current and watts", "size --current 60A --watts 100 --length 1m",
			"lugbook: --current already says all: leave out --watts\nhint: give the current, or the watts with what says of which kind they are\n"},
		{"current and class", "size --current 60A --class d --onboard-fuse 5 --length 1m",
			"lugbook: --current already says all: leave out --class and --onboard-fuse\nhint: give the current, or the watts with what says of which kind they are\n"},
		{"inverter with class", "size --watts 60 --class d --kind inverter --length 1m",
			"lugbook: an inverter is no amplifier: leave out --class\nhint: give the current, or the watts with what says of which kind they are\n"},
		{"rms of nothing", "size --rms --onboard-fuse 20 --length 1m",
			"lugbook: --rms wants --watts\nhint: give the current, or the watts with what says of which kind they are\n"},
		{"length and unit apart", "size --current 60A --length 18 ft",
			"lugbook: --length: \"18\" is not a length: it has no unit; write m, cm, mm, ft or in\n" + sizeHelp},
		{"argument that is no flag", "size 60A",
			"lugbook: \"60A\" belongs to no flag of lugbook size\nhint: values belong to flags, such as --length 18ft; put those with spaces in quotes\n"},
		{"joint of nothing", "joint", "lugbook: not given: the conductor (--conductor 4 or --conductor 16mm2)\n" + jointHelp},
		{"joint on nothing", "joint --conductor 4", "lugbook: not given: what the end lands on (--stud M8 or --landing blade)\n" + jointHelp},
		{"joint on a stud of no size", "joint --conductor 4 --landing stud", "lugbook: not given: the size of the stud (--stud M8)\n" + jointHelp},
		{"joint of a diameter", "joint --conductor 4mm --stud M8",
			"lugbook: --conductor: \"4mm\" is not a conductor size: millimetres of cable may mean its outside diameter, square millimetres are mm2; write 8, 1/0 or 16 mm2\n" + jointHelp},
		{"quote of nothing", "quote", "lugbook: no job file is named\nhint: \"lugbook quote --help\" shows examples; \"lugbook quotes create\" asks in place of a file\n"},
		{"quote of two", "quote a b", "lugbook: one job file at a time: \"b\" is too much\nhint: \"lugbook quote --help\" shows examples\n"},
		{"two vehicles", "catalog vehicles a b", "lugbook: one vehicle at a time: \"b\" is too much\nhint: words to search for go behind --text\n"},
		{"output that is none", "version --output xml", "lugbook: --output: there is no output \"xml\"; allowed: text, json\n"},
		{"units that are none", "version --units imperial", "lugbook: --units: unknown word \"imperial\"; allowed: us, metric\n"},
		{"language that is none", "version --lang 'en us'", "lugbook: --lang: \"en us\" is not a language tag, such as en or es-MX\n"},
		{"address elsewhere", "version --address example.com:1",
			"lugbook: --address: address not usable: \"example.com:1\" is not on this machine, and the connection is not encrypted; use localhost, 127.0.0.1, [::1] or unix:/path/to/socket, or encrypt it\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var shop fakeShop
			assert.Equal(t, result{cli.Misused, "", c.want}, shop.run(t, "", words(c.line)...))
			assert.Nil(t, shop.got, "the service was asked")
		})
	}
}
