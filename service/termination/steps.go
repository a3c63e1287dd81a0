package termination

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

const (
	commonPractice = "common practice, no source"
	// firstClamp is where a soldered end must be held: solder stiffens the
	// strands and they break where it ends (common practice, no source).
	firstClamp quantity.Millimetres = 50
)

// describe adds the steps in order and the reasons of the choice.
func (p *Planner) describe(plan *Plan, j Joint) {
	plan.Steps = steps(plan, j)
	plan.Reasons = p.reasons(plan, j)
}

func steps(plan *Plan, j Joint) []Step {
	s := []Step{{Code: "cut_square"}}
	add := func(code string, figures ...electrical.Figure) { s = append(s, Step{code, figures}) }
	if plan.Sleeve != nil {
		add("sleeve_on", electrical.Num("sleeve_cut_mm", plan.SleeveCut, electrical.UnitMM))
	}
	add("strip", electrical.Num("strip_mm", plan.Strip, electrical.UnitMM))
	if plan.Terminal != nil {
		add("all_strands")
		add("crimp", electrical.Name("tool", plan.Tool.Description), electrical.Name("die", DieOf(plan.Tool, j.Conductor.Size)))
	}
	switch plan.Method {
	case CrimpAndSolder:
		add("solder_top")
	case SolderedSplice:
		add("solder_splice")
	}
	add("tug")
	if plan.Sleeve != nil {
		add("shrink")
	}
	if plan.Method == CrimpAndSolder || plan.Method == SolderedSplice {
		add("first_clamp", electrical.Num("clamp_mm", firstClamp, electrical.UnitMM))
	}
	switch {
	case j.Landing.Kind == catalog.OnChassis:
		add("ground_point")
	case plan.Method == FerruleEnd:
		add("retorque")
	case onStud(j.Landing):
		add("stud", electrical.Num("terminals", StudLimit(j.Category), electrical.UnitCount))
	}
	return s
}

func (p *Planner) reasons(plan *Plan, j Joint) []electrical.Reason {
	size := electrical.SizeFigure("conductor", j.Conductor.Size)
	var out []electrical.Reason
	if t := plan.Terminal; t != nil {
		out = append(out, electrical.Because("end.terminal", commonPractice, size,
			electrical.Num("bundle_mm", j.Conductor.BundleDiameter, electrical.UnitMM), electrical.Num("barrel_mm", t.BarrelInner, electrical.UnitMM)))
	}
	if s := plan.Sleeve; s != nil {
		over := sleeveOver(j.Conductor, plan.Terminal)
		out = append(out, electrical.Because("end.sleeve", commonPractice,
			electrical.Num("sleeve_supplied_mm", s.Supplied, electrical.UnitMM), electrical.Num("recovered_mm", s.Recovered, electrical.UnitMM),
			electrical.Num("largest_mm", over.largest, electrical.UnitMM), electrical.Num("smallest_mm", over.smallest, electrical.UnitMM),
			electrical.Num("sleeve_cut_mm", plan.SleeveCut, electrical.UnitMM)))
	}
	out = append(out, electrical.Because("end.method."+string(plan.Method), commonPractice, size))
	if plan.Pull > 0 {
		out = append(out, electrical.Because("end.pull", SourcePull, electrical.Num("pull_n", plan.Pull, electrical.UnitN)))
	}
	if plan.Tool != nil && !plan.Tool.Repeat {
		out = append(out, electrical.Because("end.tool_by_hand", commonPractice, electrical.Name("tool", plan.Tool.Description)))
	}
	return out
}

// DieOf gives the die to use: by the size that it is marked for.
func DieOf(t *catalog.Tool, s quantity.Size) string {
	if t.Dies == "" {
		return s.String()
	}
	return s.String() + " (" + t.Dies + ")"
}

// StudLimit gives how many terminals may share a stud, the largest at the
// bottom: four on boats (ABYC E-11, from memory), three elsewhere (MIL-DTL-917F).
func StudLimit(c electrical.Category) int {
	if c == electrical.Boat {
		return 4
	}
	return 3
}
