package guide_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/guide"
	"example.com/lugbook/clients/cli/internal/prompt"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
)

// shop is a catalog of two vehicles and two pieces of equipment, given out one to
// a page.
type shop struct{ lugbookv1.CatalogServiceClient }

var vehicles = []*lugbookv1.Vehicle{
	{Id: "camper", Label: "Camper", NominalV: 12,
		Zones:     []*lugbookv1.Zone{{Id: "galley", Label: "Galley", Environment: lugbookv1.Environment_ENVIRONMENT_CABIN}, {Id: "roof"}},
		Batteries: []*lugbookv1.Battery{{Id: "start"}, {Id: "house", Role: lugbookv1.BatteryRole_BATTERY_ROLE_HOUSE, Chemistry: lugbookv1.Chemistry_CHEMISTRY_AGM}}},
	{Id: "sedan", Label: "Sedan", NominalV: 12, Zones: []*lugbookv1.Zone{{Id: "boot", Label: "Boot"}}, Batteries: []*lugbookv1.Battery{{Id: "main"}}},
}

var parts = []*lugbookv1.Part{
	{Sku: "EQ-FRG", Description: "Fridge", Price: &lugbookv1.Money{Amount: "689.00"}},
	{Sku: "EQ-FAN", Description: "Fan", Price: &lugbookv1.Money{Amount: "48.00"}},
}

func (shop) ListVehicles(_ context.Context, r *lugbookv1.ListVehiclesRequest, _ ...grpc.CallOption) (*lugbookv1.ListVehiclesResponse, error) {
	if r.GetPageToken() == "" {
		return &lugbookv1.ListVehiclesResponse{Vehicles: vehicles[:1], NextPageToken: "2"}, nil
	}
	return &lugbookv1.ListVehiclesResponse{Vehicles: vehicles[1:]}, nil
}

func (shop) GetVehicle(_ context.Context, r *lugbookv1.GetVehicleRequest, _ ...grpc.CallOption) (*lugbookv1.GetVehicleResponse, error) {
	for _, v := range vehicles {
		if v.GetId() == r.GetId() {
			return &lugbookv1.GetVehicleResponse{Vehicle: v}, nil
		}
	}
	return nil, errors.New("no such vehicle")
}

func (shop) ListParts(_ context.Context, r *lugbookv1.ListPartsRequest, _ ...grpc.CallOption) (*lugbookv1.ListPartsResponse, error) {
	if r.GetKind() != lugbookv1.PartKind_PART_KIND_EQUIPMENT {
		return nil, errors.New("only equipment is fitted")
	}
	if r.GetPageToken() == "" {
		return &lugbookv1.ListPartsResponse{Parts: parts[:1], NextPageToken: "2"}, nil
	}
	return &lugbookv1.ListPartsResponse{Parts: parts[1:]}, nil
}

// person answers screens from a script: the title, and after it answers of the form
// label=value; or ESC to go back, or CTRL+C to leave. What is not named keeps its
// value. Choices are named by the beginning of their labels.
type person struct {
	t      *testing.T
	script []string
	told   strings.Builder
}

func (p *person) Tell(text string) { p.told.WriteString(text) }

func (p *person) Ask(_ context.Context, screen prompt.Screen) error {
	p.t.Helper()
	require.NotEmpty(p.t, p.script, "asked: %s", screen.Title)
	step := strings.Split(p.script[0], " | ")
	p.script = p.script[1:]
	require.Equal(p.t, step[0], screen.Title)
	answers := map[string]string{}
	for _, answer := range step[1:] {
		switch answer {
		case "ESC":
			require.False(p.t, screen.First, "there is nothing before %s", screen.Title)
			return prompt.ErrBack
		case "CTRL+C":
			return prompt.ErrStopped
		}
		label, value, _ := strings.Cut(answer, "=")
		answers[label] = value
	}
	for _, f := range screen.Fields {
		value, given := answers[f.Label]
		delete(answers, f.Label)
		p.answer(f, value, given)
	}
	require.Empty(p.t, answers, "not asked on %s", screen.Title)
	return nil
}

// answer sets one answer, as Enter would.
func (p *person) answer(f prompt.Field, value string, given bool) {
	p.t.Helper()
	if len(f.Choices) == 0 {
		if given {
			*f.Value = value
		}
		if f.Check != nil {
			require.NoError(p.t, f.Check(*f.Value), f.Label)
		}
		return
	}
	for _, c := range f.Choices {
		if given && strings.HasPrefix(c.Label, value) || !given && c.Value == *f.Value {
			*f.Value = c.Value
			return
		}
	}
	require.False(p.t, given, "%s has no choice %s among %v", f.Label, value, f.Choices)
	*f.Value = f.Choices[0].Value // the first is under the cursor
}

// conversation runs a script and gives the jobs that were previewed and stored.
func conversation(t *testing.T, job *lugbookv1.Job, given guide.Given, refusals []error, script ...string) (previews, saved []*lugbookv1.Job, told string, err error) {
	t.Helper()
	p := &person{t: t, script: script}
	next := func() error {
		if len(refusals) == 0 {
			return nil
		}
		err := refusals[0]
		refusals = refusals[1:]
		return err
	}
	g := &guide.Guide{
		Asker: p, Catalog: shop{},
		Preview: func(_ context.Context, job *lugbookv1.Job) (guide.Preview, error) {
			previews = append(previews, proto.CloneOf(job))
			return guide.Preview{Total: "12.00 USD", Short: "SHORT\n", Whole: "WHOLE\n"}, next()
		},
		Save: func(_ context.Context, job *lugbookv1.Job) error {
			err := next()
			if err == nil {
				saved = append(saved, proto.CloneOf(job))
			}
			return err
		},
		Refused: func(err error) string {
			if errors.Is(err, errMend) {
				return "REFUSED\n"
			}
			return ""
		},
	}
	err = g.Run(t.Context(), job, given)
	assert.Empty(t, p.script, "never asked")
	return previews, saved, p.told.String(), err
}

// errMend is what the person can mend, errBroken what they cannot.
var errMend, errBroken = errors.New("mend it"), errors.New("broken")

// want compares a job with its JSON.
func want(t *testing.T, text string, got *lugbookv1.Job) {
	t.Helper()
	var job lugbookv1.Job
	require.NoError(t, protojson.Unmarshal([]byte(text), &job))
	assert.True(t, proto.Equal(&job, got), "want %v\n got %v", &job, got)
}

// Screens of the scripts.
const (
	vehicle  = "Which vehicle is it for?"
	what     = "What is to be fitted?"
	kind     = "What kind of equipment is it?"
	soFar    = "Equipment so far: 1 piece"
	soFar2   = "Equipment so far: 2 pieces"
	terms    = "Layout and discount"
	customer = "Whom is the quote for?"
	review   = "The quote comes to 12.00 USD"
	refused  = "This cannot be quoted as it is"
	changing = "Change something"
)

const fridgeInGalley = `{"vehicle_id": "camper", "system": {"devices": [{"id": "eq-frg", "equipment_sku": "EQ-FRG", "zone": "galley", "quantity": 1, "fed_from": "house"}]}}`

// Enter alone is enough after vehicle, equipment and place.
func TestShortestConversation(t *testing.T) {
	t.Parallel()
	previews, saved, told, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, nil,
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer, review)
	require.NoError(t, err)
	require.Len(t, saved, 1)
	want(t, fridgeInGalley, saved[0])
	assert.True(t, proto.Equal(previews[0], saved[0]))
	assert.Equal(t, "Vehicle: Camper\n1. Fridge; Galley\n\nSHORT\n\n", told)
}

func TestEverythingAnswered(t *testing.T) {
	t.Parallel()
	_, saved, told, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, nil,
		vehicle+" | vehicle=Camper",
		what+" | equipment=Something else", kind+" | kind=light", "The light | What does it draw?=6W | Its name on the quote=Reading lamp",
		"Reading lamp | Where is it mounted?=roof",
		"Reading lamp | How many, all fed alike?=6 | Which battery feeds it?=start | Is it used with the engine off?=yes | Does the driver have a switch for it?=yes",
		soFar+" | What next?=Add",
		what+" | equipment=Something else", kind+" | kind=amplifier", "The amplifier | What does it draw?=300W",
		"Amplifier", "Amplifier | Is it used with the engine off?=no",
		soFar2,
		terms+" | On the usual terms?=No", terms+" | How is it to be fed?=pieces | Room for later additions=20% | Discount=5",
		"Discount of 5 % | Why is it given?=old friend",
		customer+" | Name= A. Example | Telephone=555 | E-mail=a@example.com | Reference=blue van",
		review+" | What next?=Read", review+" | What next?=Save")
	require.NoError(t, err)
	require.Len(t, saved, 1)
	want(t, `{"vehicle_id": "camper", "customer": {"name": "A. Example", "phone": "555", "email": "a@example.com", "reference": "blue van"},
		"terms": {"discount_percent": 5, "discount_reason": "old friend"}, "system": {"layout": "LAYOUT_CHOICE_TRUNK", "growth_percent": 20, "devices": [
		{"id": "light", "kind": "DEVICE_KIND_LIGHT", "label": "Reading lamp", "input_power_w": 6, "zone": "roof", "quantity": 6, "fed_from": "start", "used_engine_off": true, "switched": true},
		{"id": "amplifier", "kind": "DEVICE_KIND_AMPLIFIER", "label": "Amplifier", "audio": {"rms_w": 300}, "zone": "galley", "quantity": 1, "fed_from": "house", "used_engine_off": false}]}}`, saved[0])
	assert.Contains(t, told, "1. 6 × Reading lamp; roof\n2. Amplifier; Galley\n")
	assert.Contains(t, told, "\nWHOLE\n")
}

// Every screen leads back to the one before, and nothing that stays is asked for
// twice in vain.
func TestBack(t *testing.T) {
	t.Parallel()
	_, saved, _, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, nil,
		vehicle+" | vehicle=Sedan", what+" | ESC", vehicle+" | vehicle=Camper",
		what+" | equipment=Something else", kind+" | ESC",
		what+" | equipment=Something else", kind+" | kind=fan", "The fan | ESC", kind+" | ESC",
		what+" | equipment=Fridge", "Fridge | ESC", what+" | equipment=Fridge", "Fridge", "Fridge | ESC", "Fridge", "Fridge",
		soFar+" | What next?=Add", what+" | ESC", soFar+" | ESC", vehicle, soFar,
		terms+" | ESC", soFar, terms+" | On the usual terms?=No", terms+" | ESC", terms+" | On the usual terms?=Yes",
		customer+" | ESC", terms, customer, review+" | ESC", customer, review+" | What next?=Change", changing+" | ESC", review)
	require.NoError(t, err)
	require.Len(t, saved, 1)
	want(t, fridgeInGalley, saved[0])
}

func TestLeavingStoresNothing(t *testing.T) {
	t.Parallel()
	start := []string{vehicle + " | vehicle=Camper", what + " | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer}
	for n, title := range start {
		title, _, _ := strings.Cut(title, " | ")
		script := append(append([]string{}, start[:n]...), title+" | CTRL+C")
		_, saved, _, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, nil, script...)
		require.ErrorIs(t, err, prompt.ErrStopped)
		assert.Empty(t, saved)
	}
	_, saved, _, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, nil, append(append([]string{}, start...), review+" | What next?=Leave")...)
	require.ErrorIs(t, err, prompt.ErrStopped)
	assert.Empty(t, saved)
}

// One answer is changed, and the review comes back without the other questions.
func TestChange(t *testing.T) {
	t.Parallel()
	previews, saved, told, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, nil,
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer,
		review+" | What next?=Change", changing+" | What?=The equipment", soFar+" | What next?=Add", what+" | equipment=Fan", "Fan", "Fan",
		soFar2+" | What next?=Take out: Fridge", soFar,
		review+" | What next?=Change", changing+" | What?=The customer", customer+" | Name=B",
		review+" | What next?=Change", changing+" | What?=Layout", terms+" | ESC",
		review+" | What next?=Change", changing+" | What?=The vehicle", vehicle+" | vehicle=Sedan", "Fan, in this vehicle", "Fan, in this vehicle",
		review)
	require.NoError(t, err)
	require.Len(t, saved, 1)
	assert.Len(t, previews, 5)
	want(t, `{"vehicle_id": "sedan", "customer": {"name": "B"}, "system": {"devices": [{"id": "eq-fan", "equipment_sku": "EQ-FAN", "zone": "boot", "quantity": 1}]}}`, saved[0])
	assert.Contains(t, told, "Taken out.\n")
}

// What the service refuses can be mended; no answer is lost.
func TestRefusedPreview(t *testing.T) {
	t.Parallel()
	_, saved, told, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, []error{errMend},
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer,
		refused, changing+" | What?=Layout", terms, review)
	require.NoError(t, err)
	require.Len(t, saved, 1)
	assert.Contains(t, told, "REFUSED\n")

	_, saved, _, err = conversation(t, &lugbookv1.Job{}, guide.Given{}, []error{errMend},
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer, refused+" | What next?=Leave")
	require.ErrorIs(t, err, prompt.ErrStopped)
	assert.Empty(t, saved)

	_, _, _, err = conversation(t, &lugbookv1.Job{}, guide.Given{}, []error{errBroken},
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer)
	require.ErrorIs(t, err, errBroken)
}

func TestRefusedSave(t *testing.T) {
	t.Parallel()
	_, saved, told, err := conversation(t, &lugbookv1.Job{}, guide.Given{}, []error{nil, errMend},
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer, review, review)
	require.NoError(t, err)
	require.Len(t, saved, 1, "the second try")
	assert.Contains(t, told, "REFUSED\n")

	_, _, _, err = conversation(t, &lugbookv1.Job{}, guide.Given{}, []error{nil, errBroken},
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar, terms, customer, review)
	require.ErrorIs(t, err, errBroken)
}

// What flags say is not asked, forwards or backwards.
func TestGiven(t *testing.T) {
	t.Parallel()
	device := func() *lugbookv1.Device {
		return &lugbookv1.Device{Id: "eq-frg", EquipmentSku: "EQ-FRG", Zone: "galley"}
	}
	_, saved, _, err := conversation(t, &lugbookv1.Job{VehicleId: "camper"}, guide.Given{Vehicle: true, Terms: true}, nil,
		what+" | equipment=Fan", "Fan", "Fan", soFar, customer+" | ESC", soFar, customer, review)
	require.NoError(t, err)
	require.Len(t, saved, 1)

	_, saved, _, err = conversation(t, &lugbookv1.Job{VehicleId: "camper", System: &lugbookv1.System{Devices: []*lugbookv1.Device{device()}}},
		guide.Given{Vehicle: true, Equipment: true, Terms: true, Customer: true}, nil,
		review+" | What next?=Change", changing, soFar+" | What next?=Add", what+" | equipment=Fan", "Fan", "Fan", soFar2, review)
	require.NoError(t, err)
	require.Len(t, saved, 1)
	assert.Len(t, saved[0].GetSystem().GetDevices(), 2)

	previews, saved, _, err := conversation(t, &lugbookv1.Job{System: &lugbookv1.System{Devices: []*lugbookv1.Device{device()}}},
		guide.Given{Equipment: true, Terms: true, Customer: true, Save: true}, nil, vehicle+" | vehicle=Camper")
	require.NoError(t, err)
	require.Len(t, saved, 1)
	assert.Empty(t, previews, "it was to be stored unseen")

	_, _, _, err = conversation(t, &lugbookv1.Job{VehicleId: "none"}, guide.Given{Vehicle: true}, nil)
	require.EqualError(t, err, "no such vehicle")
}

// Going back to the usual terms takes a discount back, and leaves the exemption
// from tax that a flag gave.
func TestDiscountTakenBack(t *testing.T) {
	t.Parallel()
	_, saved, _, err := conversation(t, &lugbookv1.Job{Terms: &lugbookv1.JobTerms{TaxExempt: true}}, guide.Given{Customer: true}, nil,
		vehicle+" | vehicle=Camper", what+" | equipment=Fridge", "Fridge", "Fridge", soFar,
		terms+" | On the usual terms?=No", terms+" | Discount=5", "Discount of 5 % | ESC",
		terms+" | On the usual terms?=No", terms+" | Discount=5", "Discount of 5 % | Why is it given?=friend",
		review+" | What next?=Change", changing+" | What?=Layout", terms, review)
	require.NoError(t, err)
	require.Len(t, saved, 1)
	assert.True(t, proto.Equal(&lugbookv1.JobTerms{TaxExempt: true}, saved[0].GetTerms()), saved[0].GetTerms())
}
