package cli

import (
	"context"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// commonFlags are the flags behind fields that many requests have.
var commonFlags = map[string]string{
	"language": "--lang", "unit_system": "--units", "include_cost": "--cost", "page_size": "--page-size", "page_token": "--page-token",
}

// sizeFlagOf names the flag behind each field of a SizeRunRequest.
var sizeFlagOf = map[string]string{
	"rating":    "--current or --watts",
	"current_a": "--current", "input_power_w": "--watts", "output_power_w": "--watts",
	"audio": "--watts", "audio.rms_w": "--watts", "audio.amplifier_class": "--class", "audio.onboard_fuse_a": "--onboard-fuse",
	"length_m": "--length", "return_path": "--return", "nominal_v": "--volts", "environment": "--environment", "ambient_c": "--ambient",
	"conductor": "--material", "conductor.material": "--material", "conductor.insulation_c": "--insulation",
	"max_drop_percent": "--drop", "device_kind": "--kind", "bundled_with": "--bundled", "category": "--category",
}

// sizeFlags is what "lugbook size" was given.
type sizeFlags struct {
	current, watts, onboardFuse, length, drop, volts, ambient, insulation quantityFlag
	class, returnPath, environment, material, kind, category              wordFlag
	rms                                                                   bool
	bundled                                                               int32
}

// newSizeFlags makes the flags. Where two units are in common use, lengths and
// ambient temperatures, the unit has to be written.
func newSizeFlags() *sizeFlags {
	return &sizeFlags{
		current:     quantityFlag{dimension: quantity.Current, bare: true},
		watts:       quantityFlag{dimension: quantity.Power, bare: true},
		onboardFuse: quantityFlag{dimension: quantity.Current, bare: true},
		length:      quantityFlag{dimension: quantity.Length},
		drop:        quantityFlag{dimension: quantity.Share, bare: true},
		volts:       quantityFlag{dimension: quantity.Voltage, bare: true},
		ambient:     quantityFlag{dimension: quantity.Temperature},
		insulation:  quantityFlag{dimension: quantity.Temperature, bare: true},
		class:       wordFlag{enum: lugbookv1.AmplifierClass(0).Descriptor()},
		returnPath:  wordFlag{enum: lugbookv1.ReturnPath(0).Descriptor()},
		environment: wordFlag{enum: lugbookv1.Environment(0).Descriptor()},
		material:    wordFlag{enum: lugbookv1.Material(0).Descriptor()},
		kind:        wordFlag{enum: lugbookv1.DeviceKind(0).Descriptor()},
		category:    wordFlag{enum: lugbookv1.VehicleCategory(0).Descriptor()},
	}
}

// sizeCommand makes "lugbook size".
func sizeCommand(s *session) *cobra.Command {
	f := newSizeFlags()
	cmd := &cobra.Command{
		Use:   "size",
		Short: "Size one run of cable and its fuse",
		Long: "Size finds the smallest conductor and the fuse for one device, without a vehicle. Lengths\n" +
			"are one way. --watts is what the device takes in; with --class, --rms, --onboard-fuse or\n" +
			"--kind amplifier it is the output of an amplifier, all channels together, and with\n" +
			"--kind inverter that of an inverter.",
		Example: "  lugbook size --current 60A --length 5.5m\n" +
			"  lugbook size --watts 1000 --class d --length 17ft --return chassis\n" +
			"  lugbook size --watts 2kW --kind inverter --length 4ft --drop 3%",
		Args: none,
		RunE: s.run(func(cmd *cobra.Command, _ []string) error { return size(cmd.Context(), s, f) }),
	}
	flags := cmd.Flags()
	flags.Var(&f.current, "current", "current of the device, such as 60A")
	flags.Var(&f.watts, "watts", "power of the device, such as 180 or 1.2kW")
	flags.BoolVar(&f.rms, "rms", false, "the watts are an amplifier's output in W RMS")
	flags.Var(&f.onboardFuse, "onboard-fuse", "sum of the fuses on the amplifier, such as 80A")
	flags.Var(&f.length, "length", "length one way with its unit, such as 5.5m or 18ft")
	flags.Var(&f.drop, "drop", "highest voltage drop of the cables, such as 3%")
	flags.Var(&f.volts, "volts", "nominal voltage: 12, 24 or 48 (default 12)")
	flags.Var(&f.ambient, "ambient", "ambient temperature with its unit, such as 50C or 120F")
	flags.Var(&f.insulation, "insulation", "temperature rating of the insulation in °C, such as 105")
	flags.Int32Var(&f.bundled, "bundled", 0, "how many other loaded conductors lie in the bundle")
	addWord(cmd, &f.class, "class", "class of the amplifier")
	addWord(cmd, &f.returnPath, "return", "what carries the current back")
	addWord(cmd, &f.environment, "environment", "hottest surroundings of the run")
	addWord(cmd, &f.material, "material", "what the conductor is made of")
	addWord(cmd, &f.kind, "kind", "what the device is")
	addWord(cmd, &f.category, "category", "what it is installed in")
	return cmd
}

// size sizes a run.
func size(ctx context.Context, s *session, f *sizeFlags) error {
	request, err := f.request()
	if err != nil {
		return err
	}
	request.Language, request.UnitSystem = s.language, s.units
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewDesignServiceClient(conn).SizeRun(ctx, request)
	if err != nil {
		return s.callFault(err, placeInFlags(sizeFlagOf))
	}
	return s.show(reply, func(p *page.Page) { sizePage(p, reply, s.units) })
}

// request makes the request that the flags mean.
func (f *sizeFlags) request() (*lugbookv1.SizeRunRequest, error) {
	var missing []string
	if !f.current.set() && !f.watts.set() && !f.onboardFuse.set() {
		missing = append(missing, "the load (--current 60A or --watts 180)")
	}
	if !f.length.set() {
		missing = append(missing, "the length one way (--length 5.5m or --length 18ft)")
	}
	if len(missing) > 0 {
		return nil, misuse(`"lugbook size --help" explains the flags`, "not given: %s", strings.Join(missing, " and "))
	}
	r := &lugbookv1.SizeRunRequest{
		LengthM:     f.length.number(),
		ReturnPath:  lugbookv1.ReturnPath(f.returnPath.number),
		NominalV:    f.volts.number(),
		Environment: lugbookv1.Environment(f.environment.number),
		DeviceKind:  lugbookv1.DeviceKind(f.kind.number),
		Category:    lugbookv1.VehicleCategory(f.category.number),
		BundledWith: f.bundled,
	}
	r.AmbientC, r.MaxDropPercent = f.ambient.value, f.drop.value
	if f.material.number != 0 || f.insulation.set() {
		r.Conductor = &lugbookv1.Conductor{Material: lugbookv1.Material(f.material.number), InsulationC: f.insulation.value}
	}
	return r, f.rate(r)
}

// rate sets the rating of a request.
func (f *sizeFlags) rate(r *lugbookv1.SizeRunRequest) error {
	const hint = "give the current, or the watts with what says of which kind they are"
	audio := f.rms || f.class.number != 0 || f.onboardFuse.set()
	inverter := r.DeviceKind == lugbookv1.DeviceKind_DEVICE_KIND_INVERTER
	switch {
	case f.current.set() && (f.watts.set() || audio):
		return misuse(hint, "--current already says all: leave out %s", f.beside())
	case inverter && audio:
		return misuse(hint, "an inverter is no amplifier: leave out %s", f.beside())
	case f.rms && !f.watts.set():
		return misuse(hint, "--rms wants --watts")
	case f.current.set():
		r.Rating = &lugbookv1.SizeRunRequest_CurrentA{CurrentA: f.current.number()}
	case inverter:
		r.Rating = &lugbookv1.SizeRunRequest_OutputPowerW{OutputPowerW: f.watts.number()}
	case audio || r.DeviceKind == lugbookv1.DeviceKind_DEVICE_KIND_AMPLIFIER:
		r.Rating = &lugbookv1.SizeRunRequest_Audio{Audio: &lugbookv1.AudioOutput{
			RmsW:           f.watts.value,
			AmplifierClass: lugbookv1.AmplifierClass(f.class.number),
			OnboardFuseA:   f.onboardFuse.value,
		}}
	default:
		r.Rating = &lugbookv1.SizeRunRequest_InputPowerW{InputPowerW: f.watts.number()}
	}
	return nil
}

// beside names the given flags that describe an amplifier or its power.
func (f *sizeFlags) beside() string {
	var names []string
	for _, flag := range []struct {
		name  string
		given bool
	}{
		{"--watts", f.current.set() && f.watts.set()}, {"--class", f.class.number != 0},
		{"--onboard-fuse", f.onboardFuse.set()}, {"--rms", f.rms},
	} {
		if flag.given {
			names = append(names, flag.name)
		}
	}
	return strings.Join(names, " and ")
}

// placeInFlags says which flag a field of the request came from.
func placeInFlags(flagOf map[string]string) func(string) string {
	return func(path string) string {
		for at := path; at != ""; at = at[:max(strings.LastIndexAny(at, ".["), 0)] {
			if flag, ok := flagOf[at]; ok {
				return flag
			}
			if flag, ok := commonFlags[at]; ok {
				return flag
			}
		}
		return path
	}
}

// none refuses arguments that are no flags.
func none(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return misuse("values belong to flags, such as --length 18ft; put those with spaces in quotes",
		"%q belongs to no flag of %s", args[0], cmd.CommandPath())
}
