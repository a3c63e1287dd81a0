package cli

import (
	"context"
	"fmt"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// jointFlagOf names the flag behind each field of a PlanTerminationRequest.
var jointFlagOf = map[string]string{
	"conductor": "--conductor", "conductor.material": "--material", "conductor_sku": "--conductor",
	"landing": "--landing", "landing.kind": "--landing", "landing.stud": "--stud",
	"category": "--category", "environment": "--environment",
}

// jointFlags is what "lugbook joint" was given.
type jointFlags struct {
	conductor                                string
	stud                                     string
	landing, category, environment, material wordFlag
}

// jointCommand makes "lugbook joint".
func jointCommand(s *session) *cobra.Command {
	f := &jointFlags{
		landing:     wordFlag{enum: lugbookv1.LandingKind(0).Descriptor()},
		category:    wordFlag{enum: lugbookv1.VehicleCategory(0).Descriptor()},
		environment: wordFlag{enum: lugbookv1.Environment(0).Descriptor()},
		material:    wordFlag{enum: lugbookv1.Material(0).Descriptor()},
	}
	cmd := &cobra.Command{
		Use:   "joint",
		Short: "Plan one end of a cable: terminal, sleeve, tool and steps",
		Long: "Joint says how one end of a conductor is terminated on what it lands on. --stud alone\n" +
			"means a ring terminal on that stud. A bare number is a gauge: 4 is 4 AWG.",
		Example: "  lugbook joint --conductor 4 --stud M8\n" +
			"  lugbook joint --conductor 16mm2 --landing set_screw --category boat --material tinned_copper",
		Args: none,
		RunE: s.run(func(cmd *cobra.Command, _ []string) error { return joint(cmd.Context(), s, f) }),
	}
	flags := cmd.Flags()
	flags.StringVar(&f.conductor, "conductor", "", "size of the conductor, such as 4, 1/0 or 16mm2")
	flags.StringVar(&f.stud, "stud", "", "stud that it lands on, such as M8, 5/16 or #10")
	addWord(cmd, &f.landing, "landing", "what it lands on")
	addWord(cmd, &f.category, "category", "what it is installed in")
	addWord(cmd, &f.environment, "environment", "where the end is")
	addWord(cmd, &f.material, "material", "what the conductor is made of")
	return cmd
}

// joint plans an end.
func joint(ctx context.Context, s *session, f *jointFlags) error {
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
	reply, err := lugbookv1.NewDesignServiceClient(conn).PlanTermination(ctx, request)
	if err != nil {
		return s.callFault(err, placeInFlags(jointFlagOf))
	}
	return s.show(reply, func(p *page.Page) { jointPage(p, reply, s.units) })
}

// request makes the request that the flags mean.
func (f *jointFlags) request() (*lugbookv1.PlanTerminationRequest, error) {
	const hint = `"lugbook joint --help" explains the flags`
	if f.conductor == "" {
		return nil, misuse(hint, "not given: the conductor (--conductor 4 or --conductor 16mm2)")
	}
	size, err := quantity.ParseSize(f.conductor)
	if err != nil {
		return nil, misuse(hint, "--conductor: %w", err)
	}
	landing := &lugbookv1.Landing{Kind: lugbookv1.LandingKind(f.landing.number), Stud: f.stud}
	switch {
	case f.landing.number == 0 && f.stud == "":
		return nil, misuse(hint, "not given: what the end lands on (--stud M8 or --landing blade)")
	case f.landing.number == 0:
		landing.Kind = lugbookv1.LandingKind_LANDING_KIND_STUD
	case landing.Kind == lugbookv1.LandingKind_LANDING_KIND_STUD && f.stud == "":
		return nil, misuse(hint, "not given: the size of the stud (--stud M8)")
	}
	return &lugbookv1.PlanTerminationRequest{
		Conductor:   newConductor(size, lugbookv1.Material(f.material.number)),
		Landing:     landing,
		Category:    lugbookv1.VehicleCategory(f.category.number),
		Environment: lugbookv1.Environment(f.environment.number),
	}, nil
}

// newConductor makes a conductor of the contract.
func newConductor(size quantity.Size, material lugbookv1.Material) *lugbookv1.Conductor {
	c := &lugbookv1.Conductor{Material: material}
	if size.IsAWG() {
		c.Size = &lugbookv1.Conductor_Awg{Awg: size.Label()}
	} else {
		c.Size = &lugbookv1.Conductor_AreaMm2{AreaMm2: float64(size.Area())}
	}
	return c
}

// jointPage lays out a planned end.
func jointPage(p *page.Page, r *lugbookv1.PlanTerminationResponse, units lugbookv1.UnitSystem) {
	e := r.GetEnd()
	row := func(label, text string) {
		if text != "" {
			p.Item(0, label, detailLabel, text)
		}
	}
	part := func(sku string, descriptions ...string) string {
		text := firstOf(descriptions...)
		if text == "" {
			return sku
		}
		return text + labelled(" (%)", sku)
	}
	row("lands on", firstOf(e.GetAt(), listed(word(e.GetLanding().GetKind()), e.GetLanding().GetStud())))
	row("terminal", part(e.GetTerminalSku(), r.GetTerminalDescription(), e.GetTerminal()))
	row("method", word(e.GetMethod()))
	row("sleeve", part(e.GetSleeveSku(), r.GetSleeveDescription(), e.GetSleeve()))
	if e.GetSleeveCutMm() > 0 {
		row("sleeve cut", millis(e.GetSleeveCutMm()))
	}
	if e.GetStripMm() > 0 {
		row("strip", millis(e.GetStripMm()))
	}
	row("tool", part(e.GetToolSku(), r.GetToolDescription()))
	row("die", e.GetDie())
	if e.GetPullMinN() > 0 {
		row("pull", "a sample bears at least "+force(e.GetPullMinN(), units))
	}
	if len(e.GetSteps()) > 0 {
		p.Heading("Steps")
		for i, step := range e.GetSteps() {
			p.Item(0, fmt.Sprintf("%2d.", i+1), 3, step)
		}
	}
	bullets(p, "Labour", r.GetLabour())
	bullets(p, "Reasons", reasonTexts(e.GetReasons()))
	cautions(p, r.GetSafetyNotes())
}
