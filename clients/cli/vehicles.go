package cli

import (
	"context"
	"fmt"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// vehiclesFlagOf names the flag behind each field of the vehicle requests.
var vehiclesFlagOf = map[string]string{"text": "--text", "category": "--category", "id": "ID"}

// vehiclesFlags is what "lugbook catalog vehicles" was given.
type vehiclesFlags struct {
	text     string
	category wordFlag
	page     pageFlags
}

// vehiclesCommand makes "lugbook catalog vehicles".
func vehiclesCommand(s *session) *cobra.Command {
	f := &vehiclesFlags{category: wordFlag{enum: lugbookv1.VehicleCategory(0).Descriptor()}}
	cmd := &cobra.Command{
		Use:   "vehicles [ID]",
		Short: "List vehicles, or show one with its zones",
		Long: "Vehicles lists the vehicles that a job may name as vehicle_id. With an id it shows that\n" +
			"vehicle: batteries, zones for the devices, and the ways between them.",
		Example: "  lugbook catalog vehicles --category boat\n" +
			"  lugbook catalog vehicles camper-van",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return misuse("words to search for go behind --text", "one vehicle at a time: %q is too much", args[1])
			}
			return nil
		},
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 {
				return vehicle(cmd.Context(), s, args[0])
			}
			return vehicles(cmd.Context(), s, cmd, f)
		}),
	}
	cmd.Flags().StringVar(&f.text, "text", "", "words that id or label hold")
	addWord(cmd, &f.category, "category", "kind of vehicle")
	f.page.add(cmd)
	return cmd
}

// vehicles lists one page of vehicles.
func vehicles(ctx context.Context, s *session, cmd *cobra.Command, f *vehiclesFlags) error {
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewCatalogServiceClient(conn).ListVehicles(ctx, &lugbookv1.ListVehiclesRequest{
		Text: f.text, Category: lugbookv1.VehicleCategory(f.category.number), PageSize: f.page.size, PageToken: f.page.token,
	})
	if err != nil {
		return s.callFault(err, placeInFlags(vehiclesFlagOf))
	}
	if err := s.show(reply, func(p *page.Page) { vehiclesPage(p, reply.GetVehicles()) }); err != nil {
		return err
	}
	if len(reply.GetVehicles()) == 0 {
		s.note("no vehicle matches")
	}
	s.more(cmd, reply.GetNextPageToken())
	return nil
}

// vehicle shows one vehicle.
func vehicle(ctx context.Context, s *session, id string) error {
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewCatalogServiceClient(conn).GetVehicle(ctx, &lugbookv1.GetVehicleRequest{Id: id})
	if err != nil {
		return s.callFault(err, placeInFlags(vehiclesFlagOf))
	}
	return s.show(reply, func(p *page.Page) { vehiclePage(p, reply.GetVehicle(), s.units) })
}

// vehiclesPage lays out a list of vehicles.
func vehiclesPage(p *page.Page, list []*lugbookv1.Vehicle) {
	if len(list) == 0 {
		return
	}
	t := page.Table{Columns: []page.Column{{Title: "id"}, {Title: "what", Wraps: true}, {Title: "category"}, {Title: "voltage", Right: true}}}
	for _, v := range list {
		t.Rows = append(t.Rows, []string{v.GetId(), v.GetLabel(), word(v.GetCategory()), volts(v.GetNominalV())})
	}
	p.Table(t)
}

// vehiclePage lays out one vehicle.
func vehiclePage(p *page.Page, v *lugbookv1.Vehicle, units lugbookv1.UnitSystem) {
	p.Ends(firstOf(v.GetLabel(), v.GetId()), v.GetId())
	p.Text(0, listed(word(v.GetCategory()), volts(v.GetNominalV()), word(v.GetFuel()), labelled("% body", word(v.GetBody()))))
	if c := v.GetCharging(); c != nil {
		text := word(c.GetKind())
		if c.GetRatedA() > 0 {
			text = listed(text, amps(c.GetRatedA()))
		}
		p.Text(0, labelled("charged by %", text))
	}
	if len(v.GetBatteries()) > 0 {
		p.Heading("Batteries")
		p.Table(batteryTable(v.GetBatteries()))
	}
	bullets(p, "Links between batteries", linkTexts(v.GetLinks()))
	if len(v.GetZones()) > 0 {
		p.Heading("Zones")
		p.Table(zoneTable(v.GetZones()))
	}
	if len(v.GetRoutes()) > 0 {
		p.Heading("Ways between zones")
		t := page.Table{Columns: []page.Column{{Title: "from"}, {Title: "to"}, {Title: "length", Right: true}, {Title: "surroundings", Wraps: true}}}
		for _, r := range v.GetRoutes() {
			t.Rows = append(t.Rows, []string{r.GetFrom(), r.GetTo(), length(r.GetLengthM(), units), word(r.GetEnvironment())})
		}
		p.Table(t)
	}
}

// linkTexts gives a line for each link. A rating of 0 is not known.
func linkTexts(list []*lugbookv1.Link) []string {
	texts := make([]string, len(list))
	for i, l := range list {
		texts[i] = fmt.Sprintf("%s from %s to %s", word(l.GetKind()), l.GetFrom(), l.GetTo())
		if l.GetRatedA() > 0 {
			texts[i] += ", " + amps(l.GetRatedA())
		}
	}
	return texts
}

// batteryTable lists batteries. A capacity of 0 is not known.
func batteryTable(list []*lugbookv1.Battery) page.Table {
	t := page.Table{Columns: []page.Column{
		{Title: "id"}, {Title: "chemistry"}, {Title: "capacity", Right: true}, {Title: "cranking", Right: true}, {Title: "zone"}, {Title: "role", Wraps: true},
	}}
	for _, b := range list {
		capacity, cranking := "", ""
		if b.GetCapacityAh() > 0 {
			capacity = quantity.AmpHours(b.GetCapacityAh()).String()
		}
		if b.ColdCrankingA != nil {
			cranking = amps(b.GetColdCrankingA())
		}
		t.Rows = append(t.Rows, []string{b.GetId(), word(b.GetChemistry()), capacity, cranking, b.GetZone(), word(b.GetRole())})
	}
	return t
}

// zoneTable lists zones with what an installer has to know of them.
func zoneTable(list []*lugbookv1.Zone) page.Table {
	t := page.Table{Columns: []page.Column{{Title: "id"}, {Title: "what"}, {Title: "surroundings"}, {Title: "notes", Wraps: true}}}
	for _, z := range list {
		var controls, ground, vapour, restraint string
		if z.GetControls() {
			controls = "controls and switches"
		}
		if z.GetChassisGround() {
			ground = "ground point" + labelled(" %", z.GetGroundStud())
		}
		if z.GetVapourHazard() {
			vapour = "fuel vapour"
		}
		if z.GetRestraintConnectors() {
			restraint = "airbag connectors"
		}
		t.Rows = append(t.Rows, []string{z.GetId(), z.GetLabel(), word(z.GetEnvironment()), listed(controls, ground, vapour, restraint)})
	}
	return t
}
