package main

import (
	"strings"
	"testing"
	"time"

	"resawd/api"
)

// BenchmarkSpeed compares each calculator of the service, with everything that
// stands around it, to a bare Echo handler in a process of its own. Rounds
// alternate; the median of the paired ratios is what counts. The ratio of the
// processor time that each takes for a request is told beside it: the clock's has
// the asking in it, which costs both the same. Run it with -benchtime=1x.
func BenchmarkSpeed(b *testing.B) {
	list, err := examples()
	if err != nil {
		b.Fatal(err)
	}
	ours, pid := served(b)
	floor := freePort(b)
	barePID := process(b, []string{asBare + "=" + floor}, binary(b)).Process.Pid
	untilReady(b, floor)
	for _, x := range list {
		b.Run(strings.TrimPrefix(x.path, "/v1/")+"/"+x.method, func(b *testing.B) {
			for range b.N {
				compare(b, x.sent, ours, floor, pid, barePID)
			}
		})
	}
}

// TestExamples: whatever calculators there are, a bare handler can be held against
// each.
func TestExamples(t *testing.T) {
	list, err := examples()
	if err != nil {
		t.Fatal(err)
	}
	if least := len(api.Calculators()); len(list) < least {
		t.Errorf("%d examples of %d calculators", len(list), least)
	}
}

func compare(b *testing.B, request []byte, ours, floor string, pid, barePID int) {
	b.Helper()
	const rounds, lasts = 9, 200 * time.Millisecond
	before := measured(b, ours, allocated)
	used, bareUsed := processorSeconds(b, pid), processorSeconds(b, barePID)
	var ratios, rates []float64
	var answers, bareAnswers float64
	for range rounds {
		a, z := rate(b, floor, request, 8, lasts), rate(b, ours, request, 8, lasts)
		ratios, rates = append(ratios, z/a), append(rates, z)
		answers, bareAnswers = answers+z, bareAnswers+a
	}
	used, bareUsed = processorSeconds(b, pid)-used, processorSeconds(b, barePID)-bareUsed
	after := measured(b, ours, allocated)
	b.ReportMetric(median(ratios), "of-bare")
	b.ReportMetric(bareUsed/bareAnswers/(used/answers), "of-bare-by-processor")
	b.ReportMetric(median(rates), "requests/s")
	answers *= lasts.Seconds()
	b.ReportMetric((after[allocated[0]]-before[allocated[0]])/answers, "allocs/request")
	b.ReportMetric((after[allocated[1]]-before[allocated[1]])/answers, "B/request")
}

// allocated are the metrics that count what was allocated.
var allocated = []string{"go_memstats_mallocs_total", "go_memstats_alloc_bytes_total"}
