package guide

import (
	"context"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/prompt"
	"google.golang.org/protobuf/proto"
)

// askCustomer asks whom the quote is for.
func (g *Guide) askCustomer(ctx context.Context, d *draft, first bool) error {
	c := d.job.GetCustomer()
	name, phone, email, reference := c.GetName(), c.GetPhone(), c.GetEmail(), c.GetReference()
	err := g.Asker.Ask(ctx, prompt.Screen{Title: "Whom is the quote for?", First: first, Fields: []prompt.Field{
		{Label: "Name", Help: "It is found by this again. Enter alone leaves any of these out.", Value: &name},
		{Label: "Telephone", Value: &phone},
		{Label: "E-mail", Value: &email},
		{Label: "Reference", Help: "The customer's own, or a word of yours to find it by.", Value: &reference},
	}})
	if err != nil {
		return err
	}
	answered := &lugbookv1.Customer{
		Name: strings.TrimSpace(name), Phone: strings.TrimSpace(phone), Email: strings.TrimSpace(email), Reference: strings.TrimSpace(reference),
		Address: c.GetAddress(),
	}
	d.job.Customer = answered
	if proto.Size(answered) == 0 {
		d.job.Customer = nil
	}
	return nil
}
