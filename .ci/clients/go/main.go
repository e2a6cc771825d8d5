// Command order sends an order through a client generated from the published
// document: the plan, the run sheet of every billet, and a price for it all. It
// prints what the plan costs, how many sheets there are, how long they take and
// the price.
//
//	order ADDRESS < order.json
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"order/resawd"
)

func main() {
	if err := order(context.Background(), os.Args[1], os.Stdin); err != nil {
		fmt.Fprintln(os.Stderr, "order:", err)
		os.Exit(1)
	}
}

func order(ctx context.Context, address string, in io.Reader) error {
	client, err := resawd.NewClientWithResponses(address)
	if err != nil {
		return err
	}
	var request resawd.PlanRequest
	if err := json.NewDecoder(in).Decode(&request); err != nil {
		return err
	}
	plan, err := client.PlanWithResponse(ctx, nil, request)
	if err != nil {
		return err
	}
	if plan.JSON200 == nil {
		return fmt.Errorf("plan: %s: %s", plan.Status(), plan.Body)
	}
	sheets, seconds := 0, 0.0
	for _, board := range plan.JSON200.Taken {
		for _, billet := range board.Billets {
			if billet.Run == nil {
				continue
			}
			run, err := client.RunWithResponse(ctx, nil, *billet.Run)
			if err != nil {
				return err
			}
			if run.JSON200 == nil {
				return fmt.Errorf("run of %s: %s: %s", billet.Mark, run.Status(), run.Body)
			}
			sheets += board.Copies
			seconds += float64(board.Copies) * run.JSON200.Summary.CuttingSeconds
		}
	}
	price, err := client.PriceWithResponse(ctx, nil, resawd.PriceRequest{
		WoodCost: &plan.JSON200.Cost, LeafCount: plan.JSON200.Stats.LeafCount, RunSeconds: seconds,
	})
	if err != nil {
		return err
	}
	if price.JSON200 == nil {
		return fmt.Errorf("price: %s: %s", price.Status(), price.Body)
	}
	fmt.Printf("%s %.2f %d %.0f %.2f\n", plan.JSON200.Status, plan.JSON200.Cost, sheets, seconds, price.JSON200.Total)
	return refused(ctx, client)
}

// refused asks for a leaf thicker than its board and expects a problem that
// says which field is wrong.
func refused(ctx context.Context, client *resawd.ClientWithResponses) error {
	var request resawd.YieldRequest
	err := errors.Join(request.BoardThickness.FromLengthInput0(1), request.LeafThickness.FromLengthInput1("2 in"))
	if err != nil {
		return err
	}
	answer, err := client.YieldWithResponse(ctx, nil, request)
	if err != nil {
		return err
	}
	if p := answer.ApplicationproblemJSON422; p == nil || len(p.Errors) == 0 {
		return fmt.Errorf("a leaf thicker than its board: %s: %s", answer.Status(), answer.Body)
	}
	return nil
}
