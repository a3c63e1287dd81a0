package guide

import (
	"context"
	"errors"
	"fmt"

	"example.com/lugbook/clients/cli/internal/prompt"
)

// Answers to what the quote comes to.
const (
	save   = "save"
	read   = "read"
	change = "change"
	leave  = "leave"
)

// review shows what the job comes to and stores it if it is wanted so. What the
// service refuses can be changed and tried again: no answer is lost.
func (g *Guide) review(ctx context.Context, d *draft, unasked bool) error {
	if unasked {
		return g.Save(ctx, d.job)
	}
	preview, err := g.Preview(ctx, d.job)
	refused := err != nil
	if refused {
		words := g.Refused(err)
		if words == "" {
			return err
		}
		g.Asker.Tell("\n" + words + "\n")
	} else {
		g.Asker.Tell("\n" + preview.Short + "\n")
	}
	for {
		answer := save
		if refused {
			answer = change
		}
		if err := g.Asker.Ask(ctx, reviewMenu(preview.Total, refused, &answer)); err != nil {
			return err
		}
		switch answer {
		case read:
			g.Asker.Tell("\n" + preview.Whole + "\n")
		case change:
			if err := g.askChange(ctx); !errors.Is(err, prompt.ErrBack) {
				return err
			}
		case leave:
			return prompt.ErrStopped
		default:
			err := g.Save(ctx, d.job)
			words := ""
			if err != nil {
				words = g.Refused(err)
			}
			if err == nil || words == "" {
				return err
			}
			g.Asker.Tell("\n" + words + "\n")
		}
	}
}

// reviewMenu asks what to do with what the job comes to.
func reviewMenu(total string, refused bool, answer *string) prompt.Screen {
	if refused {
		return prompt.Screen{Title: "This cannot be quoted as it is", Fields: []prompt.Field{{Label: "What next?", Value: answer, Choices: []prompt.Choice{
			{Value: change, Label: "Change something"}, {Value: leave, Label: "Leave, and store nothing"},
		}}}}
	}
	return prompt.Screen{Title: "The quote comes to " + total, Fields: []prompt.Field{{Label: "What next?", Value: answer, Choices: []prompt.Choice{
		{Value: save, Label: fmt.Sprintf("Save it (%s)", total)},
		{Value: read, Label: "Read the whole quote first"},
		{Value: change, Label: "Change something"},
		{Value: leave, Label: "Leave, and store nothing"},
	}}}}
}

// askChange asks which part to change.
func (g *Guide) askChange(ctx context.Context) error {
	steps := map[string]int{"vehicle": stepVehicle, "equipment": stepEquipment, "terms": stepTerms, "customer": stepCustomer}
	answer := "equipment"
	err := g.Asker.Ask(ctx, prompt.Screen{Title: "Change something", Fields: []prompt.Field{{Label: "What?", Value: &answer, Choices: []prompt.Choice{
		{Value: "equipment", Label: "The equipment: add, take out"}, {Value: "vehicle", Label: "The vehicle"},
		{Value: "terms", Label: "Layout and discount"}, {Value: "customer", Label: "The customer"},
	}}}})
	if err != nil {
		return err
	}
	return &changeError{step: steps[answer]}
}
