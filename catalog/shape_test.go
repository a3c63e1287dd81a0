package catalog_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
)

// TestShapeFaults plants values of the wrong shape: lists for texts, texts for
// mappings and so on.
func TestShapeFaults(t *testing.T) {
	for _, p := range []planted{
		{"list for a text", "shop.yaml", "phone: 555-0142", "phone: [555-0142]", "shop.yaml:3:8: phone is not a single value"},
		{"text of two lines", "shop.yaml", "phone: 555-0142", `phone: "555\n0142"`, "shop.yaml:3:8: phone holds a line break or another control character"},
		{"text too long", "shop.yaml", "phone: 555-0142", "phone: " + strings.Repeat("5", 4097), "shop.yaml:3:8: phone has 4097 bytes; allowed: up to 4096"},
		{"number for a mapping", "shop.yaml", "zone_factors: {cabin: 1.0, engine_space: 1.2, exposed: 1.1, underbody: 1.4, wet_locker: 1.3}", "zone_factors: 1",
			"shop.yaml:28:15: not a set of keys and values; allowed: the keys cabin, engine_space, exposed, underbody, wet_locker"},
		{"text for a list", "shop.yaml", "on: [parts, supplies]", "on: parts", "shop.yaml:13:50: on is not a list"},
		{"neither yes nor no", "shop.yaml", "prices_include_tax: no", "prices_include_tax: never", `shop.yaml:14:21: prices_include_tax: "never" is neither yes nor no; allowed: yes, no, true, false`},
		{"half a day", "shop.yaml", "validity_days: 30", "validity_days: 0.5", "shop.yaml:15:16: validity_days: 0.5 is out of range; allowed: 1 to 365 days"},
		{"no size", "shop.yaml", "heavy_from: 4 AWG", "heavy_from: [4 AWG]", "shop.yaml:33:15: heavy_from is not a single value"},
		{"half a battery", "vehicles.yaml", "stud: M8, role: both}", "stud: M8, count: 1.5}", "vehicles.yaml:12:110: count: 1.5 is not a whole number; allowed: 1 to 64 batteries"},
		{"vehicle that is a word", "vehicles.yaml", "vehicles:\n", "vehicles:\n  - none\n",
			"vehicles.yaml:2:5: not a set of keys and values; allowed: the keys id, label, category, nominal_v, batteries, charging, standing_load_a, zones, routes, fuel, links, battery_sensor, body, outboard_only"},
		{"tool without form", "tools.csv", "ring butt", "", "tools.csv:2:3: forms: the cell is empty; allowed: ring, ferrule, push_on, butt (separated by spaces)"},
		{"no answer", "sleeves.csv", "12,4,yes", "12,4,", "sleeves.csv:2:10: adhesive: the cell is empty; allowed: yes, no"},
		{"no minutes", "labour.csv", "13.5", "", "labour.csv:3:4: minutes: the cell is empty; allowed: above 0, up to 2400 minutes"},
		{"long word", "labour.csv", "CRIMP-ANY,crimp_end", "CRIMP-ANY," + strings.Repeat("x", 50), `labour.csv:3:2: task: unknown word "` + strings.Repeat("x", 40) + `…"; allowed: crimp_end, solder_add, solder_splice, ferrule, push_on, blade_holder, bolt_holder, block_base, block_way, ground_point, ground_strap, relay, switch, bulkhead_pass, pull_cable, loom, label, battery, test_circuit, test_system, fit_device, access`},
	} {
		t.Run(p.name, p.run)
	}
}

func TestEmptyFiles(t *testing.T) {
	folder := minimal(t)
	folder["relays.csv"] = &fstest.MapFile{}
	folder["vehicles.yaml"] = &fstest.MapFile{}
	assert.Equal(t, []string{
		"relays.csv:1:1: the file is empty; allowed: a first row with the column names: sku, description, price, cost, sold_by, pack_qty, supplier, contact_a, coil_a, coil_v, landing, stud, tab_mm, sealed, breaks, broken_packs",
		"vehicles.yaml:1:1: vehicles is missing; allowed: a list of vehicles",
	}, strings.Split(faultsOf(t, folder).Error(), "\n"))
}

// TestFaultOfColumnLeftOut finds the row where a column that is needed only at
// times is not there at all.
func TestFaultOfColumnLeftOut(t *testing.T) {
	folder := minimal(t)
	text := strings.Replace(string(folder["holders.csv"].Data), "landing,stud,", "landing,", 1)
	folder["holders.csv"] = &fstest.MapFile{Data: []byte(strings.Replace(text, "stud,M5,", "stud,", 1))}
	assert.Equal(t, "holders.csv:2: stud: the cell is empty; allowed: #6, M4, #8, #10, M5, M6, 1/4, 5/16, M8, 3/8, M10, M12, 1/2", faultsOf(t, folder).Error())
}
