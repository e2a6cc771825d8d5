package calculator_test

import (
	"strings"
	"testing"

	"resawd/api"
	"resawd/api/endpoint"
	"resawd/api/shop"
)

// BenchmarkSolve answers a dial request that came as JSON or in a query.
func BenchmarkSolve(b *testing.B) {
	demo, err := shop.Demo()
	if err != nil {
		b.Fatal(err)
	}
	k, _ := api.CalculatorAt("/v1/dial")
	for name, fields := range map[string]endpoint.Fields{
		"body":  endpoint.Body([]byte(`{"leaf_thickness": 0.05, "kerf": 0.045, "leaf_count": 1}`)),
		"query": endpoint.Query([]endpoint.Pair{{Name: "leaf_thickness", Value: "0.05"}, {Name: "kerf", Value: "0.045"}, {Name: "leaf_count", Value: "1"}}, false),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := k.Solve(&endpoint.Call{Context: b.Context(), Shop: demo}, fields); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkBulk answers the rows of a table, one after the other.
func BenchmarkBulk(b *testing.B) {
	demo, err := shop.Demo()
	if err != nil {
		b.Fatal(err)
	}
	k, _ := api.CalculatorAt("/v1/dial")
	table := "leaf_thickness,kerf,leaf_count\n" + strings.Repeat("0.05,0.045,1\n", b.N)
	bulk, err := k.NewBulk(&endpoint.Call{Context: b.Context(), Shop: demo}, strings.NewReader(table), nil, false)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		if _, err := bulk.Next(); err != nil || bulk.Failed > 0 {
			b.Fatal(err, bulk.Failed)
		}
	}
}
