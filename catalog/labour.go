package catalog

import "example.com/lugbook/service/electrical"

// Per is what an operation's minutes are counted by.
type Per string

// The counts of labour.
const (
	PerEach    Per = "each"
	PerMetre   Per = "metre"
	PerRun     Per = "run"
	PerCircuit Per = "circuit"
	PerJob     Per = "job"
)

// Pers lists every count.
func Pers() []Per { return []Per{PerEach, PerMetre, PerRun, PerCircuit, PerJob} }

// Task is what an operation does; the design asks for labour by task, and the
// catalog answers with the operation whose conductor band fits.
type Task string

// The tasks.
const (
	TaskCrimpEnd    Task = "crimp_end"     // cut, strip, crimp and sleeve one end
	TaskSolderAdd   Task = "solder_add"    // add solder at a crimped barrel's top and seam
	TaskSplice      Task = "solder_splice" // soldered splice with adhesive sleeve
	TaskFerrule     Task = "ferrule"       // ferrule on one end
	TaskPushOn      Task = "push_on"       // push-on terminal on one end
	TaskBladeHolder Task = "blade_holder"  // blade, mini or maxi holder mounted and wired
	TaskBoltHolder  Task = "bolt_holder"   // bolt-down or terminal fuse and holder
	TaskBlockBase   Task = "block_base"    // fused distribution block, base
	TaskBlockWay    Task = "block_way"     // fused distribution block, each way
	TaskGroundPoint Task = "ground_point"  // drill, bare, star washer, seal
	TaskStrap       Task = "ground_strap"  // strap from battery or engine to the body, beside the old one
	TaskRelay       Task = "relay"         // relay or contactor with base
	TaskSwitch      Task = "switch"        // switch mounted in a panel
	TaskPass        Task = "bulkhead_pass" // panel pass with grommet and seal
	TaskPull        Task = "pull_cable"    // pull cable, per metre
	TaskLoom        Task = "loom"          // loom, clip and tie, per metre
	TaskLabel       Task = "label"         // label both ends of a run
	TaskBattery     Task = "battery"       // disconnect, reconnect, reset
	TaskTestCircuit Task = "test_circuit"
	TaskTestSystem  Task = "test_system"
	TaskFitDevice   Task = "fit_device" // fix the device itself; by device kind
	TaskAccess      Task = "access"     // open and close the vehicle; named by routes
)

// Tasks lists every task.
func Tasks() []Task {
	return []Task{TaskCrimpEnd, TaskSolderAdd, TaskSplice, TaskFerrule, TaskPushOn, TaskBladeHolder, TaskBoltHolder, TaskBlockBase, TaskBlockWay,
		TaskGroundPoint, TaskStrap, TaskRelay, TaskSwitch, TaskPass, TaskPull, TaskLoom, TaskLabel, TaskBattery, TaskTestCircuit, TaskTestSystem, TaskFitDevice, TaskAccess}
}

// Operation is one priced piece of work.
type Operation struct {
	Code        string
	Task        Task
	Description string
	// MilliMinutes is the time in thousandths of a minute per Per.
	MilliMinutes int64
	Per          Per
	Takes        Range                   // conductor band; the zero Range takes all
	Devices      []electrical.DeviceKind // TaskFitDevice: the kinds it fixes; empty takes the rest
	// Zoned tells that the zone factor of the place applies.
	Zoned bool
	// Termination tells that the time counts as proper termination.
	Termination bool
}
