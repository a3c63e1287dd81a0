package pricing

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// taskOrder is the order of labour in a quote, as the work goes: open up, make
// dead, mount, run cable, make the ends, fit, label and test.
var taskOrder = []catalog.Task{
	catalog.TaskAccess, catalog.TaskBattery,
	catalog.TaskBladeHolder, catalog.TaskBoltHolder, catalog.TaskBlockBase, catalog.TaskBlockWay, catalog.TaskGroundPoint, catalog.TaskStrap, catalog.TaskRelay, catalog.TaskSwitch,
	catalog.TaskPass, catalog.TaskPull, catalog.TaskLoom,
	catalog.TaskCrimpEnd, catalog.TaskSolderAdd, catalog.TaskSplice, catalog.TaskFerrule, catalog.TaskPushOn,
	catalog.TaskFitDevice,
	catalog.TaskLabel, catalog.TaskTestCircuit, catalog.TaskTestSystem,
}

const milliMinutesPerHour = 60_000

// effort is all work of the job by one operation, whatever the place.
type effort struct {
	operation    *catalog.Operation
	milli        *big.Int // how often, in thousandths
	milliMinutes *big.Int
}

// labour adds one line for every operation: its minutes over the whole job, in
// charged steps of an hour.
func (q *quoter) labour(d *design.Design) error {
	if step := q.shop.LabourStep; step != 10 && step != 4 {
		return fmt.Errorf("labour in steps of 1/%d h: %w", step, ErrUnpriceable)
	}
	efforts, err := effortsOf(d)
	if err != nil {
		return err
	}
	for _, e := range efforts {
		if e.milliMinutes.Sign() == 0 {
			continue
		}
		hours := chargedHours(e.milliMinutes, int64(q.shop.LabourStep))
		l := Line{Section: catalog.Labour, Description: e.operation.Description, Unit: Hour, Operation: e.operation.Code, Hours: nearest(hours),
			Termination: e.operation.Termination, WhyCode: "why.labour", Figures: e.figures()}
		if e.operation.Task == catalog.TaskAccess {
			l.WhyCode = "why.access"
		}
		if err := q.add(l, hours, q.shop.LabourRate); err != nil {
			return err
		}
	}
	return nil
}

// chargedHours rounds minutes half up to the next step of an hour; what is done
// at all is at least one step.
func chargedHours(milliMinutes *big.Int, stepsPerHour int64) *big.Rat {
	exact := new(big.Rat).SetFrac(milliMinutes, big.NewInt(milliMinutesPerHour))
	steps := halfUp(exact.Mul(exact, big.NewRat(stepsPerHour, 1)))
	if steps.Sign() == 0 {
		steps.SetInt64(1)
	}
	return new(big.Rat).SetFrac(steps, big.NewInt(stepsPerHour))
}

// effortsOf gathers the work of the circuits, their ends and the job by
// operation, in the order of the work and then by code.
func effortsOf(d *design.Design) ([]*effort, error) {
	var efforts []*effort
	byCode := map[string]*effort{}
	for _, w := range allWork(d) {
		if w.Operation == nil {
			return nil, fmt.Errorf("work without an operation: %w", ErrUnpriceable)
		}
		if w.MilliMinutes < 0 {
			return nil, fmt.Errorf("operation %s takes %d thousandths of a minute: %w", w.Operation.Code, w.MilliMinutes, ErrUnpriceable)
		}
		e, ok := byCode[w.Operation.Code]
		if !ok {
			e = &effort{w.Operation, new(big.Int), new(big.Int)}
			byCode[w.Operation.Code] = e
			efforts = append(efforts, e)
		}
		e.milli.Add(e.milli, big.NewInt(w.Milli))
		e.milliMinutes.Add(e.milliMinutes, big.NewInt(w.MilliMinutes))
	}
	slices.SortFunc(efforts, func(a, b *effort) int {
		return cmp.Or(cmp.Compare(rank(a.operation.Task), rank(b.operation.Task)), cmp.Compare(a.operation.Code, b.operation.Code))
	})
	return efforts, nil
}

// rank gives a task's place in the order; a task that is not in it comes last.
func rank(t catalog.Task) int {
	if i := slices.Index(taskOrder, t); i >= 0 {
		return i
	}
	return len(taskOrder)
}

func allWork(d *design.Design) []catalog.Work {
	work := slices.Clone(d.Work)
	for _, c := range circuitsOf(d) {
		work = append(work, c.Work...)
		for j := range c.Runs {
			for k := range c.Runs[j].Ends {
				work = append(work, c.Runs[j].Ends[k].Plan.Work...)
			}
		}
	}
	return work
}

// figures tell how often an operation is done, or over how many metres, and the
// minutes it takes before they are rounded to steps.
func (e *effort) figures() []electrical.Figure {
	unit := electrical.UnitCount
	if e.operation.Per == catalog.PerMetre {
		unit = electrical.UnitM
	}
	return []electrical.Figure{
		electrical.Num("times", nearest(new(big.Rat).SetFrac(e.milli, big.NewInt(1000))), unit),
		electrical.Num("minutes", nearest(new(big.Rat).SetFrac(e.milliMinutes, big.NewInt(1000))), electrical.UnitMinutes),
	}
}
