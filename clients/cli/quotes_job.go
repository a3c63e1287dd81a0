package cli

import (
	"fmt"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/guide"
	"github.com/spf13/cobra"
)

// jobFlags is a job in flags.
type jobFlags struct {
	vehicle        string
	equipment      equipmentFlag
	layout         wordFlag
	growth         quantityFlag
	discount       quantityFlag
	discountReason string
	taxExempt      bool
	notes          []string
	customer       customerFlags
}

// newJobFlags makes the flags without values.
func newJobFlags() jobFlags {
	return jobFlags{
		layout:   wordFlag{enum: lugbookv1.LayoutChoice(0).Descriptor()},
		growth:   quantityFlag{dimension: quantity.Share, bare: true},
		discount: quantityFlag{dimension: quantity.Share, bare: true},
	}
}

// add adds the flags to a command.
func (f *jobFlags) add(s *session, cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.vehicle, "vehicle", "", "id of a vehicle of the catalog")
	completeVehicles(s, cmd, "vehicle")
	flags.Var(&f.equipment, "equipment", "what is fitted where, once for each piece: "+guide.Form)
	addWord(cmd, &f.layout, "layout", "how the equipment is fed (default auto)")
	flags.Var(&f.growth, "growth", "room to leave for later additions, such as 20% (default none)")
	flags.Var(&f.discount, "discount", "discount before tax, such as 5% (default none)")
	flags.StringVar(&f.discountReason, "discount-reason", "", "why the discount is given")
	flags.BoolVar(&f.taxExempt, "tax-exempt", false, "the customer is exempt from tax")
	flags.StringArrayVar(&f.notes, "note", nil, "`text` to print on the quote as a remark, once for each")
	f.customer.add(cmd)
}

// givenBesideFile names the first flag that a job file leaves no room for.
func (f *jobFlags) givenBesideFile() string {
	for _, flag := range []struct {
		name  string
		given bool
	}{
		{"--vehicle", f.vehicle != ""}, {"--equipment", len(f.equipment.specs) > 0}, {"--layout", f.layout.number != 0}, {"--growth", f.growth.set()},
		{"--discount", f.discount.set()}, {"--discount-reason", f.discountReason != ""}, {"--tax-exempt", f.taxExempt}, {"--note", len(f.notes) > 0},
	} {
		if flag.given {
			return flag.name
		}
	}
	return ""
}

// job makes the job that the flags mean.
func (f *jobFlags) job() *lugbookv1.Job {
	job := &lugbookv1.Job{
		VehicleId: f.vehicle, Notes: f.notes,
		System: &lugbookv1.System{Devices: f.equipment.devices, Layout: lugbookv1.LayoutChoice(f.layout.number), GrowthPercent: f.growth.number()},
	}
	guide.Name(job.System.Devices)
	if f.discount.set() || f.discountReason != "" || f.taxExempt {
		job.Terms = &lugbookv1.JobTerms{DiscountPercent: f.discount.value, DiscountReason: f.discountReason, TaxExempt: f.taxExempt}
	}
	f.customer.set(job)
	return job
}

// jobFlagOf names the flag behind each field of a job.
var jobFlagOf = map[string]string{
	"vehicle_id": "--vehicle", "vehicle": "--vehicle", "system.layout": "--layout", "system.growth_percent": "--growth",
	"terms.discount_percent": "--discount", "terms.discount_reason": "--discount-reason", "terms.tax_exempt": "--tax-exempt",
	"notes": "--note", "system.devices": "--equipment", "system": "--equipment",
	"customer.name": "--customer-name", "customer.phone": "--customer-phone", "customer.email": "--customer-email",
	"customer.address": "--customer-address", "customer.reference": "--customer-reference",
}

// placeInJobFlags says which flag a field of the request came from; of equipment,
// which of the flags.
func (f *jobFlags) placeInJobFlags(path string) string {
	within, ofJob := strings.CutPrefix(path, "source.job.")
	if !ofJob {
		return placeInFlags(quotesFlagOf)(path)
	}
	var n int
	if _, err := fmt.Sscanf(within, "system.devices[%d]", &n); err == nil && n >= 0 && n < len(f.equipment.specs) {
		return "--equipment " + f.equipment.specs[n]
	}
	place := placeInFlags(jobFlagOf)(within)
	if place == within {
		return path
	}
	return place
}

// equipmentFlag takes pieces of equipment, one each time it is given.
type equipmentFlag struct {
	specs   []string // as they were written
	devices []*lugbookv1.Device
}

// Set reads one piece; pflag calls it.
func (f *equipmentFlag) Set(text string) error {
	device, err := guide.ParseDevice(text)
	if err != nil {
		return err
	}
	f.specs, f.devices = append(f.specs, text), append(f.devices, device)
	return nil
}

// String gives the default for the help text: none.
func (f *equipmentFlag) String() string { return "" }

// Type names the value in the help text.
func (f *equipmentFlag) Type() string { return "piece" }
