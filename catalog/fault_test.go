package catalog_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// planted is one slip made in the minimal folder, and the one line it must give.
type planted struct {
	name, file, old, replacement, want string
}

func (p planted) run(t *testing.T) {
	t.Parallel()
	folder := minimal(t)
	change(t, folder, p.file, p.old, p.replacement)
	assert.Equal(t, []string{p.want}, strings.Split(faultsOf(t, folder).Error(), "\n"))
}

func TestPartFaults(t *testing.T) {
	for _, p := range []planted{
		{"misspelt column", "sleeves.csv", "adhesive,length", "adhesiv,length",
			`sleeves.csv:1:10: unknown column "adhesiv"; did you mean adhesive?; allowed: sku, description, price, cost, sold_by, pack_qty, supplier, supplied_mm, recovered_mm, adhesive, length_loss_percent, colour, breaks, broken_packs
sleeves.csv:1: column adhesive is missing`},
		{"column twice", "sundries.csv", "use,inner_mm", "use,use", "sundries.csv:1:9: column use is there twice, first as column 8"},
		{"tabs", "sundries.csv", "sku,description,price,cost,sold_by,pack_qty,supplier,use,inner_mm", "sku\tdescription\tprice\tcost\tsold_by\tpack_qty\tsupplier\tuse\tinner_mm",
			"sundries.csv:1:1: cells are separated by tabs; allowed: commas or semicolons"},
		{"too many cells", "sundries.csv", "loom,10", "loom,10,red", "sundries.csv:2:10: the cell stands under no column name; allowed: no more cells than the header; a cell with a comma in quotes"},
		{"stray quote", "sundries.csv", `loom,10`, `loom,1"0`, `sundries.csv:2:9: quote sign inside a cell that is not quoted; allowed: the whole cell in quotes, the sign doubled: "5/16"" stud"`},
		{"open quote", "sundries.csv", `loom,10`, `"loom,10`, `sundries.csv:2:8: quoted cell that does not end where the next begins; allowed: quote signs inside a quoted cell doubled: "5/16"" stud"`},
		{"line break in a cell", "sundries.csv", `loom,10`, "loom,\"1\n0\"", "sundries.csv:2:9: the cell holds a line break or another control character"},
		{"not UTF-8", "sundries.csv", "Split loom", "Split lo\xf6m", "sundries.csv:2:2: the cell is not in UTF-8"},
		{"long cell", "sundries.csv", "Split loom", strings.Repeat("x", 5000), "sundries.csv:2:2: the cell has 5012 bytes; at most 4096 are read"},
		{"empty cell", "fuses.csv", "FU-BS-060", "", "fuses.csv:2:1: sku: the cell is empty"},
		{"spaced SKU", "fuses.csv", "FU-BS-060", "FU BS 060", `fuses.csv:2:1: sku: "FU BS 060" is no code; allowed: one word of up to 64 characters`},
		{"SKU twice in a file", "fuses.csv", "FU-BS-080", "FU-BS-060", `fuses.csv:3:1: sku: "FU-BS-060" is there twice, first at fuses.csv:2`},
		{"SKU twice over files", "tools.csv", "TL-HYD", "HO-BS-M5", `tools.csv:2:1: sku: "HO-BS-M5" is there twice, first at holders.csv:2`},
		{"decimal comma", "fuses.csv", "6.00", `"6,00"`, `fuses.csv:2:3: price: "6,00" is not a number: the decimal sign is a point, and thousands are not grouped; allowed: above 0, up to 1000000 USD`},
		{"currency sign", "fuses.csv", "6.00", "$6", `fuses.csv:2:3: price: "$6" is not a number; allowed: above 0, up to 1000000 USD`},
		{"exponent", "fuses.csv", "6.00", "6e0", `fuses.csv:2:3: price: "6e0" is not a number; allowed: above 0, up to 1000000 USD`},
		{"no price", "fuses.csv", "6.00", "", "fuses.csv:2:3: price: the cell is empty; allowed: above 0, up to 1000000 USD"},
		{"free", "fuses.csv", "6.00", "0", "fuses.csv:2:3: price: 0 is out of range; allowed: above 0, up to 1000000 USD"},
		{"negative price", "fuses.csv", "6.00", "-6", "fuses.csv:2:3: price: -6 is out of range; allowed: above 0, up to 1000000 USD"},
		{"price beyond the cap", "fuses.csv", "6.00", "1000000.01", "fuses.csv:2:3: price: 1000000.01 is out of range; allowed: above 0, up to 1000000 USD"},
		{"too many decimals", "fuses.csv", "6.00", "6.005", "fuses.csv:2:3: price: 6.005 has 3 decimal places; allowed: up to 2 for USD"},
		{"cost too fine", "fuses.csv", "3.33", "3.333", "fuses.csv:2:4: cost: 3.333 has 3 decimal places; allowed: up to 2 for USD"},
		{"NaN", "fuses.csv", "bolt_small,60", "bolt_small,NaN", `fuses.csv:2:9: rating_a: "NaN" is not a number; allowed: above 0, up to 2000 A`},
		{"infinity", "fuses.csv", "bolt_small,60", "bolt_small,+Inf", `fuses.csv:2:9: rating_a: "+Inf" is not a number; allowed: above 0, up to 2000 A`},
		{"unknown family", "fuses.csv", "bolt_small,60", "bolt_smal,60", `fuses.csv:2:8: family: unknown word "bolt_smal"; did you mean bolt_small?; allowed: blade, mini, micro, maxi, bolt_small, bolt_large, mini_anl, anl, terminal_mount, class_t, glass, breaker`},
		{"neither yes nor no", "fuses.csv", "58,2000,no", "58,2000,0", `fuses.csv:3:12: ignition_protected: "0" is neither yes nor no; allowed: yes, no`},
		{"pack without count", "fuses.csv", "pack,2", "pack,", "fuses.csv:3:6: pack_qty: the cell is empty; allowed: 1 to 100000 pieces"},
		{"pack of half pieces", "fuses.csv", "pack,2", "pack,2.5", "fuses.csv:3:6: pack_qty: 2.5 is not a whole number; allowed: 1 to 100000 pieces"},
		{"count without pack", "fuses.csv", "each,,", "each,5,", "fuses.csv:2:6: pack_qty: the part is not sold by the pack; allowed: empty"},
		{"fuse by the foot", "fuses.csv", "each,,", "foot,,", "fuses.csv:2:5: sold_by: what is counted is not sold by the foot; allowed: each, pack"},
		{"cable by the piece", "conductors.csv", "foot,,", "each,,", `conductors.csv:2:5: sold_by: what is cut to length is not sold by "each"; allowed: metre, foot`},
		{"insulation too hot", "conductors.csv", "pvc,105", "pvc,250", "conductors.csv:2:11: insulation_c: 250 is out of range; allowed: 60 to 200 °C"},
		{"strands wider than cable", "conductors.csv", "6.5,3.7", "3.7,6.5", "conductors.csv:2:14: bundle_mm: the strands are as wide as the insulation over them; allowed: less than outer_mm"},
		{"gauge standard of a metric size", "conductors.csv", "5.2,1.24,", "5.2,1.24,sae", "conductors.csv:3:16: gauge_standard: a metric size has no gauge; allowed: empty"},
		{"holder span", "holders.csv", "bolt_small,30,200", "bolt_small,300,200", "holders.csv:2:9: min_rating_a: above max_rating_a; allowed: up to max_rating_a"},
		{"post block on no stud", "holders.csv", "stud,M5,,,,", "stud,M5,,,17.5,", "holders.csv:2:15: post_hole_mm: a hole of 17.5 mm sits on no stud; allowed: the hole for one of #6, M4, #8, #10, M5, M6, 1/4, 5/16, M8, 3/8, M10, M12, 1/2"},
		{"unknown stud", "holders.csv", "stud,M5", "stud,M7", `holders.csv:2:12: stud: unknown word "M7"; allowed: #6, M4, #8, #10, M5, M6, 1/4, 5/16, M8, 3/8, M10, M12, 1/2`},
		{"stud landing without stud", "holders.csv", "stud,M5", "stud,", "holders.csv:2:12: stud: the cell is empty; allowed: #6, M4, #8, #10, M5, M6, 1/4, 5/16, M8, 3/8, M10, M12, 1/2"},
		{"splice with a stud", "holders.csv", "stud,M5", "splice,M5", "holders.csv:2:12: stud: a splice has no stud; allowed: empty"},
		{"clamp without bound", "blocks.csv", "16 AWG,10 AWG", "16 AWG,", "blocks.csv:2:20: out_largest: the cell is empty; allowed: the largest conductor the clamp takes: 8 AWG, 1/0 AWG, 16 mm2"},
		{"clamp upside down", "blocks.csv", "16 AWG,10 AWG", "10 AWG,16 AWG", "blocks.csv:2:20: out_largest: thinner than out_smallest; allowed: a size as large or larger"},
		{"fused block without family", "blocks.csv", "yes,blade", "yes,", "blocks.csv:2:9: family: the cell is empty; allowed: the family of the ways' fuses: blade, mini, micro, maxi, bolt_small, bolt_large, mini_anl, anl, terminal_mount, class_t, glass, breaker"},
		{"plain block with family", "blocks.csv", "yes,blade", "no,blade", "blocks.csv:2:9: family: the block has no fuses; allowed: empty"},
		{"way above total", "blocks.csv", "6,30,100", "6,300,100", "blocks.csv:2:11: way_max_a: above total_max_a; allowed: up to total_max_a"},
		{"terminal range upside down", "terminals.csv", "8 AWG,8 AWG", "8 AWG,10 AWG", "terminals.csv:2:10: largest: thinner than smallest; allowed: a size as large or larger"},
		{"barrel without wall", "terminals.csv", "4.2,6.2", "6.2,6.2", "terminals.csv:2:14: barrel_inner_mm: the barrel has no wall; allowed: less than barrel_outer_mm"},
		{"hole too wide", "terminals.csv", "M8,8.4", "M8,10.5", "terminals.csv:2:12: hole_mm: a hole of 10.5 mm does not sit on a M8 stud; allowed: 8.1 to 9.6 mm"},
		{"ring with a tab", "terminals.csv", "8.4,,4.2", "8.4,6.3,4.2", "terminals.csv:2:13: tab_mm: a ring has none; allowed: empty"},
		{"ring without a hole", "terminals.csv", "8.4,,4.2", ",,4.2", "terminals.csv:2:12: hole_mm: the cell is empty; allowed: stated for a ring"},
		{"sleeve that does not shrink", "sleeves.csv", "12,4,yes", "12,12,yes", "sleeves.csv:2:9: recovered_mm: the sleeve does not shrink; allowed: less than supplied_mm"},
		{"load in two ways", "equipment.csv", "refrigerator,5,,", "refrigerator,5,60,", "equipment.csv:3:9: current_a: the load is stated in 2 ways; allowed: one of current_a, input_w, output_w, or rms_w with onboard_fuse_a"},
		{"half a surge", "equipment.csv", "15,0.3", "15,", "equipment.csv:3:18: surge_s: only one of surge_a and surge_s is stated; allowed: both, or neither"},
		{"converter for an odd system", "equipment.csv", "12,13.8,20,24", "36,13.8,20,24", "equipment.csv:4:27: feeds_v: a converter feeds a system of 12, 24 or 48 V; allowed: 12, 24, 48"},
		{"converter without a rating", "equipment.csv", "12,13.8,20,24", "12,13.8,,24", "equipment.csv:4:29: feeds_a: a converter states what it feeds but not how much; allowed: its rated output in A"},
		{"converter that limits below its rating", "equipment.csv", "12,13.8,20,24", "12,13.8,20,18", "equipment.csv:4:30: feeds_limit_a: the limit is below the rated output; allowed: at least feeds_a"},
		{"unknown form", "tools.csv", "ring butt", "ring but", `tools.csv:2:3: forms: unknown word "but"; did you mean butt?; allowed: ring, ferrule, push_on, butt (separated by spaces)`},
	} {
		// A misspelt column that is needed is a missing one too.
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			folder := minimal(t)
			change(t, folder, p.file, p.old, p.replacement)
			got := strings.Split(faultsOf(t, folder).Error(), "\n")
			assert.ElementsMatch(t, strings.Split(p.want, "\n"), got)
		})
	}
}

func TestSizeFault(t *testing.T) {
	folder := minimal(t)
	change(t, folder, "terminals.csv", "8 AWG,8 AWG", "8 AWG,9999")
	faults := faultsOf(t, folder)
	require.Len(t, faults, 1)
	assert.Equal(t, "terminals.csv:2:10", strings.Join(strings.SplitN(faults[0].Error(), ":", 4)[:3], ":"))
	assert.Contains(t, faults[0].Problem, `"9999"`)
}

func TestLabourFaults(t *testing.T) {
	for _, p := range []planted{
		{"code twice", "labour.csv", "FIT-ANY", "FIT-AMP", `labour.csv:5:1: code: "FIT-AMP" is there twice, first at labour.csv:4`},
		{"unknown task", "labour.csv", "CRIMP-ANY,crimp_end", "CRIMP-ANY,crimp", `labour.csv:3:2: task: unknown word "crimp"; allowed: crimp_end, solder_add, solder_splice, ferrule, push_on, blade_holder, bolt_holder, block_base, block_way, ground_point, ground_strap, relay, switch, bulkhead_pass, pull_cable, loom, label, battery, test_circuit, test_system, fit_device, access`},
		{"minutes too fine", "labour.csv", "13.5", "13.5005", "labour.csv:3:4: minutes: 13.5005 has more than three decimal places; allowed: above 0, up to 2400 minutes, up to three decimal places"},
		{"no minutes", "labour.csv", "13.5", "0", "labour.csv:3:4: minutes: 0 is out of range; allowed: above 0, up to 2400 minutes, up to three decimal places"},
		{"half a band", "labour.csv", "22 AWG,6 AWG", "22 AWG,", "labour.csv:2:7: largest: only one of smallest and largest is stated; allowed: both, or neither"},
		{"band upside down", "labour.csv", "22 AWG,6 AWG", "6 AWG,22 AWG", "labour.csv:2:7: largest: thinner than smallest; allowed: a size as large or larger"},
		{"devices of a crimp", "labour.csv", "22 AWG,6 AWG,,", "22 AWG,6 AWG,pump,", "labour.csv:2:8: devices: only fit_device goes by kind of device; allowed: empty"},
	} {
		t.Run(p.name, p.run)
	}
}

func TestVehicleFaults(t *testing.T) {
	const zones = "engine, boot"
	for _, p := range []planted{
		{"no list", "vehicles.yaml", "vehicles:\n", "vehicle:\n", "vehicles.yaml:1:1: unknown key \"vehicle\"; did you mean vehicles?; allowed: vehicles\nvehicles.yaml:1:1: vehicles is missing; allowed: a list of vehicles"},
		{"no YAML", "vehicles.yaml", "vehicles:\n", "vehicles: [\n", "vehicles.yaml:2: is not YAML: did not find expected node content"},
		{"alias", "vehicles.yaml", "label: Sedan", "label: &a Sedan", "vehicles.yaml:3:12: anchors and aliases are not read; allowed: the values written out"},
		{"unknown key", "vehicles.yaml", "    fuel:", "    fule:", `vehicles.yaml:6:5: unknown key "fule"; did you mean fuel?; allowed: id, label, category, nominal_v, batteries, charging, standing_load_a, zones, routes, fuel, links, battery_sensor, body, outboard_only`},
		{"key twice", "vehicles.yaml", "    fuel: petrol", "    label: petrol", "vehicles.yaml:6:5: label is there twice, first on line 3"},
		{"unknown category", "vehicles.yaml", "category: car", "category: cart", `vehicles.yaml:4:15: category: unknown word "cart"; did you mean car?; allowed: motorcycle, car, van, truck, side_by_side, boat, trailer, other`},
		{"no category", "vehicles.yaml", "category: car", "category:", `vehicles.yaml:4:14: category: unknown word ""; allowed: motorcycle, car, van, truck, side_by_side, boat, trailer, other`},
		{"odd voltage", "vehicles.yaml", "nominal_v: 12", "nominal_v: 6", "vehicles.yaml:5:16: nominal_v: 6 V is no system voltage; allowed: 12, 24, 48"},
		{"infinite voltage", "vehicles.yaml", "nominal_v: 12", "nominal_v: .inf", `vehicles.yaml:5:16: nominal_v: ".inf" is not a number; allowed: a decimal number`},
		{"negative length", "vehicles.yaml", "length_m: 4.5", "length_m: -4.5", "vehicles.yaml:17:44: routes[0].length_m: -4.5 is out of range; allowed: above 0, up to 100 m"},
		{"no length", "vehicles.yaml", "length_m: 4.5, ", "", "vehicles.yaml:17:9: routes[0].length_m: 0 is out of range; allowed: above 0, up to 100 m"},
		{"route to nowhere", "vehicles.yaml", "to: boot", "to: bot", `vehicles.yaml:17:28: routes[0].to: unknown zone "bot"; did you mean boot?; allowed: ` + zones},
		{"route to itself", "vehicles.yaml", "to: boot", "to: engine", "vehicles.yaml:17:28: routes[0].to: the route ends in the zone it starts from; allowed: another zone"},
		{"battery nowhere", "vehicles.yaml", "zone: engine", "zone: bonnet", `vehicles.yaml:12:85: batteries[0].zone: unknown zone "bonnet"; allowed: ` + zones},
		{"unknown chemistry", "vehicles.yaml", "chemistry: flooded", "chemistry: floded", `vehicles.yaml:12:31: batteries[0].chemistry: unknown word "floded"; did you mean flooded?; allowed: flooded, agm, gel, lithium`},
		{"zone without id", "vehicles.yaml", "{id: boot, label", "{label", "vehicles.yaml:15:9: zones[1].id: the id is missing; allowed: lower-case letters, digits, hyphens and underscores, 1 to 64\nvehicles.yaml:17:28: routes[0].to: unknown zone \"boot\"; allowed: engine, "},
		{"zone twice", "vehicles.yaml", "{id: boot, label", "{id: engine, label", "vehicles.yaml:15:14: zones[1].id: \"engine\" is there twice\nvehicles.yaml:17:28: routes[0].to: unknown zone \"boot\"; allowed: engine, engine"},
		{"unknown operation", "vehicles.yaml", "[ACCESS-SEAT]", "[ACCESS-SEATS]", `vehicles.yaml:17:69: routes[0].access_operations: unknown access operation "ACCESS-SEATS"; did you mean ACCESS-SEAT?; allowed: a code of labour.csv whose task is access`},
		{"operation of another task", "vehicles.yaml", "[ACCESS-SEAT]", "[FIT-AMP]", `vehicles.yaml:17:69: routes[0].access_operations: unknown access operation "FIT-AMP"; allowed: a code of labour.csv whose task is access`},
		{"outboard car", "vehicles.yaml", "battery_sensor: yes", "outboard_only: yes", "vehicles.yaml:8:20: outboard_only: a car has no outboard motor; allowed: only for a boat"},
		{"share above one", "vehicles.yaml", "idle_share: 0.4", "idle_share: 40", "vehicles.yaml:10:60: charging.idle_share: 40 is out of range; allowed: 0 to 1"},
		{"not a list", "vehicles.yaml", "access_operations: [ACCESS-SEAT]", "access_operations: ACCESS-SEAT", "vehicles.yaml:17:68: access_operations is not a list"},
	} {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			folder := minimal(t)
			change(t, folder, p.file, p.old, p.replacement)
			assert.Equal(t, strings.Split(p.want, "\n"), strings.Split(faultsOf(t, folder).Error(), "\n"))
		})
	}
}

func TestVehicleTwice(t *testing.T) {
	folder := minimal(t)
	text := string(folder["vehicles.yaml"].Data)
	_, second, _ := strings.Cut(text, "vehicles:\n")
	folder["vehicles.yaml"] = &fstest.MapFile{Data: []byte(text + second)}
	assert.Equal(t, `vehicles.yaml:18:9: vehicle "sedan" is there twice, first on line 2`, faultsOf(t, folder).Error())
}

func TestShopFaults(t *testing.T) {
	for _, p := range []planted{
		{"no name", "shop.yaml", "name: Saltline Vehicle Electrics\n", "", "shop.yaml:1:1: name is missing"},
		{"unknown language", "shop.yaml", "language: en-US", "language: 123", `shop.yaml:4:11: language: "123" is no language tag; allowed: BCP 47, such as en-US, en-GB, es`},
		{"free labour", "shop.yaml", `"110.00"`, `"0"`, "shop.yaml:7:23: labour_rate_per_hour: 0 is out of range; allowed: above 0, up to 1000000 USD"},
		{"labour rate too fine", "shop.yaml", `"110.00"`, `"110.005"`, "shop.yaml:7:23: labour_rate_per_hour: 110.005 has 3 decimal places; allowed: up to 2 for USD"},
		{"odd step", "shop.yaml", "labour_step: 10", "labour_step: 6", `shop.yaml:8:14: labour_step: "6" is no step; allowed: 10 (tenths of an hour), 4 (quarters)`},
		{"unknown tax section", "shop.yaml", "[parts, supplies]", "[part, supplies]", `shop.yaml:13:51: on: unknown word "part"; did you mean parts?; allowed: parts, labour, supplies, charges`},
		{"tax section twice", "shop.yaml", "[parts, supplies]", "[parts, parts]", "shop.yaml:13:58: on: parts is there twice"},
		{"tax on nothing", "shop.yaml", "[parts, supplies]", "[]", "shop.yaml:13:50: on is an empty list; allowed: parts, labour, supplies, charges"},
		{"tax rate too fine", "shop.yaml", `"8.25"`, `"8.25001"`, "shop.yaml:13:38: rate_percent: 8.25001 has 5 decimal places; at most 4 are read; allowed: 0 to 100 percent"},
		{"missing allowance", "shop.yaml", "  waste_percent: 5\n", "", "shop.yaml:19:3: waste_percent is missing; allowed: 0 to 100 percent"},
		{"missing zone factor", "shop.yaml", "cabin: 1.0, ", "", "shop.yaml:28:15: cabin is missing; allowed: 0.5 to 5"},
		{"size that is none", "shop.yaml", "heavy_from: 4 AWG", "heavy_from:", "shop.yaml:33:14: heavy_from is missing; allowed: 8 AWG, 1/0 AWG, 16 mm2"},
		{"missing habit", "shop.yaml", "  trailer: {", "  boat_trailer: {", "shop.yaml:36:3: trailer is missing; allowed: a habit for every category: motorcycle, car, van, truck, side_by_side, boat, trailer, other\n" +
			`shop.yaml:42:3: unknown key "boat_trailer"; allowed: motorcycle, car, van, truck, side_by_side, boat, trailer, other`},
		{"unknown rule", "shop.yaml", "ambient_cabin_c", "ambient_cabin", `shop.yaml:45:3: unknown key "ambient_cabin"; did you mean ambient_cabin_c?; allowed: volts_12, volts_24, volts_48, drop_critical_percent, drop_motor_percent, drop_general_percent, drop_total_extra_percent, drop_engine_off_percent, fuse_load_share, ambient_cabin_c, ambient_engine_space_c, ambient_exposed_c, ambient_underbody_c, ambient_wet_locker_c, holder_engine_space_c, chassis_steel_ohm, chassis_aluminium_ohm, chassis_frame_ohm, chassis_max_a, fuse_distance_m, fuse_distance_close_m, governing_section_m, unfused_tail_m, insulation_new_c`},
		{"unsafe rule", "shop.yaml", "ambient_cabin_c: 35", "ambient_cabin_c: 10", "shop.yaml:45:20: rules.ambient_cabin_c is 10; allowed: 20 to 60"},
		{"unsafe volts", "shop.yaml", "running: 13.6", "running: 20", "shop.yaml:46:23: rules.volts_12.running is 20; allowed: 12 to 15"},
		{"rule that is no number", "shop.yaml", "running: 13.6", "running: .nan", `shop.yaml:46:23: running: ".nan" is not a number; allowed: a decimal number`},
		{"two documents", "shop.yaml", "units: us", "units: us\n---\nunits: us", "shop.yaml: is not YAML: the file holds more than one document"},
	} {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			folder := minimal(t)
			change(t, folder, p.file, p.old, p.replacement)
			assert.Equal(t, strings.Split(p.want, "\n"), strings.Split(faultsOf(t, folder).Error(), "\n"))
		})
	}
}

func TestUnknownCurrency(t *testing.T) {
	folder := minimal(t)
	change(t, folder, "shop.yaml", "currency: USD", "currency: USB")
	assert.Equal(t, `shop.yaml:6:11: currency: "USB" is no currency; allowed: a code of ISO 4217, such as USD, EUR, GBP`, faultsOf(t, folder).Error())
}

func TestDecimalsFollowTheCurrency(t *testing.T) {
	folder := minimal(t)
	change(t, folder, "shop.yaml", "currency: USD", "currency: JPY")
	for _, f := range faultsOf(t, folder) {
		assert.Contains(t, f.Allowed, "up to 0 for JPY")
	}
}

func TestFileTooLarge(t *testing.T) {
	folder := minimal(t)
	folder["fuses.csv"] = &fstest.MapFile{Data: make([]byte, 64<<20+1)}
	assert.Equal(t, catalog.Faults{{File: "fuses.csv", Problem: "the file is too large", Allowed: "up to 64 MiB"}}, faultsOf(t, folder))
}

func TestUTF16(t *testing.T) {
	folder := minimal(t)
	folder["fuses.csv"] = &fstest.MapFile{Data: []byte("\xff\xfes\x00k\x00u\x00")}
	assert.Equal(t, "fuses.csv:1:1: the file is in UTF-16; allowed: CSV in UTF-8", faultsOf(t, folder).Error())
}
