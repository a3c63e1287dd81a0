package termination

import (
	"sort"
	"sync"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// Planner plans ends from one catalog revision. It is safe for concurrent use;
// plans are shared and must not be changed.
type Planner struct {
	shop      *catalog.Shop
	cat       *catalog.Catalog
	terminals map[catalog.Form][]*catalog.Terminal // closest hole first, then by SKU
	sleeves   []*catalog.Sleeve                    // adhesive-lined, by SKU
	tools     []*catalog.Tool                      // by preference

	mu    sync.RWMutex         // guards plans
	plans map[jointKey]planned // at most plansKept
}

type planned struct {
	plan Plan
	err  error
}

// NewPlanner gives a planner over a catalog.
func NewPlanner(cat *catalog.Catalog) *Planner {
	p := &Planner{shop: &cat.Shop, cat: cat, terminals: map[catalog.Form][]*catalog.Terminal{}, plans: map[jointKey]planned{}}
	for i := range cat.Terminals {
		t := &cat.Terminals[i]
		p.terminals[t.Form] = append(p.terminals[t.Form], t)
	}
	for _, alike := range p.terminals { // so that of rings at one price the closest fit is taken
		sort.SliceStable(alike, func(i, j int) bool { return alike[i].Hole < alike[j].Hole })
	}
	for i := range cat.Sleeves {
		if s := &cat.Sleeves[i]; s.Adhesive {
			p.sleeves = append(p.sleeves, s)
		}
	}
	for i := range cat.Tools {
		p.tools = append(p.tools, &cat.Tools[i])
	}
	// Tools that give the same crimp in any hands come first.
	sort.SliceStable(p.tools, func(i, j int) bool { return p.tools[i].Repeat && !p.tools[j].Repeat })
	return p
}

type jointKey struct {
	landing     catalog.Landing
	sku         string
	category    electrical.Category
	environment electrical.Environment
	battery     bool
}

// Plan plans one end, or fails with *Unfit.
func (p *Planner) Plan(j Joint) (Plan, error) {
	key := jointKey{j.Landing, j.Conductor.SKU, j.Category, j.Environment, j.Battery}
	if key.sku == "" { // a conductor that no catalog row stands for
		return p.plan(j)
	}
	p.mu.RLock()
	known, ok := p.plans[key]
	p.mu.RUnlock()
	if !ok {
		known.plan, known.err = p.plan(j)
		p.keep(key, known)
	}
	return known.plan, known.err
}

// plansKept is how many plans stay in memory: own choice, many times what the cables and
// landings of a shop come to. Callers may make up landings without end.
const plansKept = 50_000

func (p *Planner) keep(key jointKey, plan planned) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.plans) < plansKept {
		p.plans[key] = plan
	}
}

func (p *Planner) plan(j Joint) (Plan, error) {
	size := j.Conductor.Size
	if !j.Landing.Admits(size) {
		if !j.Landing.Largest.IsZero() && catalog.Thinner(j.Landing.Largest, size) {
			return Plan{}, unfit("landing.largest", electrical.SizeFigure("largest", j.Landing.Largest), electrical.SizeFigure("conductor", size))
		}
		return Plan{}, unfit("landing.smallest", electrical.SizeFigure("smallest", j.Landing.Smallest), electrical.SizeFigure("conductor", size))
	}
	switch {
	case onStud(j.Landing):
		return p.crimped(j, catalog.Ring)
	case isSplice(j.Landing):
		if p.soldersSplice(j) {
			return p.spliced(j)
		}
		return p.crimped(j, catalog.Butt)
	case j.Landing.Kind == catalog.OnBlade:
		return p.crimped(j, catalog.PushOn)
	default:
		return p.crimped(j, catalog.Ferrule)
	}
}

// soldersSplice tells that a wire-to-wire joint is soldered: thin copper, in a
// shop that solders, not on a boat, where solder is never the sole support.
func (p *Planner) soldersSplice(j Joint) bool {
	r := p.shop.Termination
	return !r.CrimpOnly && j.Category != electrical.Boat && j.Conductor.Material != electrical.CopperClad &&
		catalog.Thinner(j.Conductor.Size, r.SpliceBelow)
}

// wantsSolder tells that a crimped ring is to be soldered at its top and seam.
func (p *Planner) wantsSolder(j Joint, form catalog.Form) bool {
	r := p.shop.Termination
	return form == catalog.Ring && !r.CrimpOnly && (j.Category != electrical.Boat || r.SolderAfloat) &&
		j.Conductor.Material != electrical.CopperClad && !catalog.Thinner(j.Conductor.Size, r.SolderFrom)
}

func takesSolder(t *catalog.Terminal) bool {
	return !t.Insulated && t.Construction != catalog.ClosedBarrel
}

// tool gives the preferred tool for a form and size, nil where the shop has none.
func (p *Planner) tool(form catalog.Form, size quantity.Size) *catalog.Tool {
	heavy := !catalog.Thinner(size, p.shop.Termination.HeavyFrom) && (form == catalog.Ring || form == catalog.Butt)
	for _, t := range p.tools {
		if t.Takes.Includes(size) && hasForm(t.Forms, form) && (!heavy || t.Sort == catalog.Hydraulic) {
			return t
		}
	}
	return nil
}

func hasForm(forms []catalog.Form, form catalog.Form) bool {
	for _, f := range forms {
		if f == form {
			return true
		}
	}
	return false
}

// TerminalFits tells whether a terminal takes the conductor and lands there: its
// range includes the size, its barrel admits the whole strand bundle, its hole
// admits the stud or its receptacle the blade.
func TerminalFits(t *catalog.Terminal, c *catalog.Conductor, l catalog.Landing) bool {
	if !t.Takes.Includes(c.Size) || t.BarrelInner < c.BundleDiameter {
		return false
	}
	switch t.Form {
	case catalog.Ring:
		return l.Stud.Admits(t.Hole)
	case catalog.PushOn:
		return t.TabWidth == tabWidth(l)
	}
	return true
}

// usualTab is the blade width where none is stated.
const usualTab quantity.Millimetres = 6.3

func tabWidth(l catalog.Landing) quantity.Millimetres {
	if l.TabWidth == 0 {
		return usualTab
	}
	return l.TabWidth
}

func (p *Planner) crimped(j Joint, form catalog.Form) (Plan, error) {
	size := j.Conductor.Size
	tool := p.tool(form, size)
	if tool == nil {
		return Plan{}, unfit("tool", electrical.Word("form", form), electrical.SizeFigure("conductor", size))
	}
	solder := p.wantsSolder(j, form)
	best, found := Plan{}, false
	var failure *Unfit
	for _, needSolder := range solderPasses(solder) {
		for _, t := range p.terminals[form] {
			if !TerminalFits(t, j.Conductor, j.Landing) || needSolder && !takesSolder(t) || j.Category == electrical.Boat && !t.Tinned {
				continue
			}
			plan, err := p.withTerminal(j, t, tool, needSolder)
			if err != nil {
				failure = err
				continue
			}
			if !found || plan.Nano < best.Nano || plan.Nano == best.Nano && soldFor(t, j) && !soldFor(best.Terminal, j) {
				best, found = plan, true
			}
		}
		if found {
			break
		}
	}
	if !found {
		if failure == nil {
			failure = unfit("terminal", electrical.Word("form", form), electrical.SizeFigure("conductor", size), electrical.Name("stud", string(j.Landing.Stud)))
		}
		return Plan{}, failure
	}
	p.describe(&best, j)
	return best, nil
}

// soldFor tells that a terminal is the one sold for the landing's stud: others may go
// over it too.
func soldFor(t *catalog.Terminal, j Joint) bool { return t.Stud == j.Landing.Stud }

// solderPasses: where solder is called for, terminals that take it come first
// and the others only when none of those fits.
func solderPasses(solder bool) []bool {
	if solder {
		return []bool{true, false}
	}
	return []bool{false}
}

func (p *Planner) withTerminal(j Joint, t *catalog.Terminal, tool *catalog.Tool, solder bool) (Plan, *Unfit) {
	plan := Plan{Method: methodOf(t.Form, solder), Terminal: t, Tool: tool, Strip: stripLength(t), Nano: t.UnitNano}
	if t.Form != catalog.Ferrule {
		over := sleeveOver(j.Conductor, t)
		sleeve, cut, nano := p.cheapestSleeve(j.Conductor, over)
		if sleeve == nil {
			return Plan{}, unfit("sleeve", electrical.Num("largest_mm", over.largest, electrical.UnitMM), electrical.Num("smallest_mm", over.smallest, electrical.UnitMM))
		}
		plan.Sleeve, plan.SleeveCut = sleeve, cut
		plan.Nano += nano
		plan.Pull = PullForce(j.Conductor.Size)
	}
	plan.Resistance = contact(j, t.Form) + electrical.BarrelResistance(j.Conductor.Size)
	if err := p.addWork(&plan, j, tasksOf(t.Form, solder)); err != nil {
		return Plan{}, err
	}
	return plan, nil
}

func (p *Planner) spliced(j Joint) (Plan, error) {
	over := sleeveOver(j.Conductor, nil)
	sleeve, cut, nano := p.cheapestSleeve(j.Conductor, over)
	if sleeve == nil {
		return Plan{}, unfit("sleeve", electrical.Num("largest_mm", over.largest, electrical.UnitMM), electrical.Num("smallest_mm", over.smallest, electrical.UnitMM))
	}
	plan := Plan{Method: SolderedSplice, Sleeve: sleeve, SleeveCut: cut, Strip: spliceLength, Pull: PullForce(j.Conductor.Size),
		Resistance: electrical.SolderedJoint, Nano: nano}
	if err := p.addWork(&plan, j, []catalog.Task{catalog.TaskSplice}); err != nil {
		return Plan{}, err
	}
	p.describe(&plan, j)
	return plan, nil
}

func (p *Planner) addWork(plan *Plan, j Joint, tasks []catalog.Task) *Unfit {
	if j.Landing.Kind == catalog.OnChassis {
		tasks = append(tasks, catalog.TaskGroundPoint)
	}
	for _, task := range tasks {
		op, ok := p.cat.Operation(task, j.Conductor.Size)
		if !ok {
			return unfit("labour", electrical.Word("task", task), electrical.SizeFigure("conductor", j.Conductor.Size))
		}
		work := p.shop.WorkOf(op, 1000, j.Environment)
		plan.Work = append(plan.Work, work)
		plan.Nano += p.shop.LabourNano(work.MilliMinutes)
	}
	return nil
}

func methodOf(form catalog.Form, solder bool) Method {
	switch {
	case form == catalog.Ferrule:
		return FerruleEnd
	case form == catalog.PushOn:
		return PushOnEnd
	case solder:
		return CrimpAndSolder
	}
	return Crimp
}

func tasksOf(form catalog.Form, solder bool) []catalog.Task {
	switch {
	case form == catalog.Ferrule:
		return []catalog.Task{catalog.TaskFerrule}
	case form == catalog.PushOn:
		return []catalog.Task{catalog.TaskPushOn}
	case solder:
		return []catalog.Task{catalog.TaskCrimpEnd, catalog.TaskSolderAdd}
	}
	return []catalog.Task{catalog.TaskCrimpEnd}
}

// stripLength gives how much insulation to take off: the barrel and 1 mm for a
// lug, the length of a ferrule, the barrel and 0.5 mm for a push-on, half the
// barrel and 0.5 mm for each side of a butt splice (common practice, no source).
func stripLength(t *catalog.Terminal) quantity.Millimetres {
	switch t.Form {
	case catalog.Ferrule:
		return t.BarrelLength
	case catalog.PushOn:
		return t.BarrelLength + 0.5
	case catalog.Butt:
		return t.BarrelLength/2 + 0.5
	}
	return t.BarrelLength + 1
}

// contact gives the resistance between the terminal and what it lands on.
func contact(j Joint, form catalog.Form) quantity.Ohms {
	switch {
	case j.Battery:
		return electrical.BatteryClamp
	case j.Landing.Kind == catalog.OnChassis:
		return electrical.GroundLug
	case form == catalog.Ferrule:
		return electrical.SetScrew
	case form == catalog.PushOn:
		return electrical.PushOnBlade
	case form == catalog.Butt:
		return electrical.CrimpedSplice - electrical.BarrelResistance(j.Conductor.Size)
	}
	return electrical.LugOnStud
}
