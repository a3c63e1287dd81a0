package catalog

import (
	"fmt"
	"slices"

	"example.com/lugbook/service/electrical"
)

// labourFile is the file of labour operations.
const labourFile = "labour.csv"

var labourColumns = []column{must("code"), must("task"), must("description"), must("minutes"), must("per"),
	may("smallest"), may("largest"), may("devices"), may("zoned"), may("termination")}

// spanMinutes bounds the time of one operation: a working week.
var spanMinutes = above(0, 2400, "minutes")

func (d *reading) operation(r *row) {
	o := Operation{
		Code: r.code("code"), Task: word(r, "task", Tasks()), Description: r.text("description"),
		Per: word(r, "per", Pers()), Takes: r.span("smallest", "largest"),
		Devices: words(r, "devices", electrical.DeviceKinds()), Zoned: r.yes("zoned"), Termination: r.yes("termination"),
	}
	if text, ok := r.has("minutes"); !ok {
		r.empty("minutes", spanMinutes.String())
	} else {
		var problem string
		if o.MilliMinutes, problem = parseThousandths(text, spanMinutes); problem != "" {
			r.wrong("minutes", problem, spanMinutes.String()+", up to three decimal places")
		}
	}
	if _, ok := r.has("devices"); ok && o.Task != TaskFitDevice {
		r.wrong("devices", fmt.Sprintf("only %s goes by kind of device", TaskFitDevice), "empty")
	}
	slices.Sort(o.Devices)
	d.catalog.Operations = append(d.catalog.Operations, o)
}
