package cli

import (
	"fmt"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
)

// A command without a function is a help topic: "lugbook help exit-codes".

// exitCodesTopic explains the exit codes.
func exitCodesTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "exit-codes",
		Short: "What the exit codes mean",
		Long: fmt.Sprintf("%d  done, also where the reply tells of conflicts with a maker's figures\n"+
			"%d  failed, or the job cannot be met; \"nearest:\" lines say what would do\n"+
			"%d  wrong usage, or a file or flag that is malformed or contradicts itself\n"+
			"%d  done, and faults were found", Done, Failed, Misused, FaultsFound),
	}
}

// jobFilesTopic explains the form of job files.
func jobFilesTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "job-files",
		Short: "How a job file is written",
		Long: "A job file is YAML: the vehicle, the devices and what is known of them.\n\n" +
			"  customer: {name: walk-in}\n" +
			"  vehicle_id: open-boat          # \"lugbook catalog vehicles\" lists them\n" +
			"  system:\n" +
			"    devices:\n" +
			"      - id: plotter              # a name of your own\n" +
			"        kind: navigation\n" +
			"        zone: console            # \"lugbook catalog vehicles open-boat\" shows the zones\n" +
			"        input_power: 18W\n\n" +
			"Quantities are written with their unit: length: 18ft, current: 7A, capacity: 95Ah. Where the\n" +
			"key names the unit (length_m, current_a), a number will do. Conductors are written as their\n" +
			"size: 8 AWG, 1/0, 16mm2; a bare number is a gauge.\n\n" +
			"kinds of device: " + strings.Join(jobfile.Words(lugbookv1.DeviceKind(0).Descriptor()), ", "),
	}
}

// unitsTopic explains which units are read.
func unitsTopic() *cobra.Command {
	var b strings.Builder
	b.WriteString("Quantities are read in these units, with or without a space before them:\n\n")
	for _, d := range []quantity.Dimension{
		quantity.Current, quantity.Voltage, quantity.Resistance, quantity.Power, quantity.Length, quantity.Area,
		quantity.Temperature, quantity.Force, quantity.Charge, quantity.Share, quantity.Time,
	} {
		fmt.Fprintf(&b, "  %-18s%s\n", d, strings.Join(d.Units(), ", "))
	}
	b.WriteString("\nLengths may be 17 ft, 20'6\" or 3 1/2 in, times 1 h 30 min. Conductor sizes are gauges (8, 8 AWG,\n" +
		"1/0) or square millimetres (16mm2). Decimals take a point or a comma.")
	return &cobra.Command{Use: "units", Short: "Which units are read", Long: b.String()}
}

// unitWords gives the words of the units setting.
func unitWords() []string { return jobfile.Words(lugbookv1.UnitSystem(0).Descriptor()) }
