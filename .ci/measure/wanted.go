package main

// wanted are the figures of the table, in order: where each comes from, and what it
// should reach. If a pattern matches several benchmarks, their median counts.
var wanted = []struct {
	what, benchmark, metric, unit string
	goal                          float64 // 0: none
	atLeast                       bool    // else at most
}{
	{"a calculator by GET, of the requests a second of bare Echo: median", "resawd/Speed/.*/GET", "of-bare", "", 0.9, true},
	{"a calculator by POST: median", "resawd/Speed/.*/POST", "of-bare", "", 0.9, true},
	{"dial by GET", "resawd/Speed/dial/GET", "of-bare", "", 0.9, true},
	{"dial by POST", "resawd/Speed/dial/POST", "of-bare", "", 0.9, true},
	{"allocations a request by GET: median", "resawd/Speed/.*/GET", "allocs/request", "", 0, false},
	{"allocations a request by POST: median", "resawd/Speed/.*/POST", "allocs/request", "", 0, false},
	{"at half load: median", "resawd/Latency/alone", "p50-ms", "ms", 0, false},
	{"at half load: 99 %", "resawd/Latency/alone", "p99-ms", "ms", 5, false},
	{"at half load: 99.9 %", "resawd/Latency/alone", "p99.9-ms", "ms", 0, false},
	{"beside plans: median", "resawd/Latency/beside-plans", "p50-ms", "ms", 0, false},
	{"beside plans: 99 %", "resawd/Latency/beside-plans", "p99-ms", "ms", 20, false},
	{"beside plans: 99.9 %", "resawd/Latency/beside-plans", "p99.9-ms", "ms", 0, false},
	{"beside 16 tables: median", "resawd/Latency/beside-tables", "p50-ms", "ms", 0, false},
	{"beside 16 tables: 99 %", "resawd/Latency/beside-tables", "p99-ms", "ms", 0, false},
	{"long run sheets that can be answered", "resawd/Overload", "carried/s", "a second", 0, false},
	{"at half of that: median", "resawd/Overload", "half-p50-ms", "ms", 0, false},
	{"at half of that: 99 %", "resawd/Overload", "half-p99-ms", "ms", 0, false},
	{"at four times that: accepted", "resawd/Overload", "accepted/s", "a second", 0, false},
	{"at four times that: accepted, median", "resawd/Overload", "accepted-p50-ms", "ms", 0, false},
	{"at four times that: accepted, 99 %", "resawd/Overload", "accepted-p99-ms", "ms", 0, false},
	{"at four times that: refused, median", "resawd/Overload", "refused-p50-ms", "ms", 0, false},
	{"at four times that: refused, 99 %", "resawd/Overload", "refused-p99-ms", "ms", 0, false},
	{"at four times that: most memory", "resawd/Overload", "peak-MiB", "MiB", 256, false},
	{"a hard plan: answered after its time limit", "resawd/PlanEnds", "late-ms", "ms", 0, false},
	{"a hard plan: given up after its client left", "resawd/PlanEnds", "freed-ms", "ms", 0, false},
	{"rows of a table of dial, by one core with HTTP", "resawd/Bulk", "rows/s-of-a-core", "a second", 500_000, true},
	{"the same by the clock", "resawd/Bulk", "rows/s", "a second", 0, true},
	{"allocations a row", "calculator/Bulk", "allocs/op", "", 0, false},
	{"most memory meanwhile", "resawd/Bulk", "peak-MiB", "MiB", 64, false},
	{"from start to ready", "resawd/Start", "ready-ms", "ms", 100, false},
	{"memory when idle", "resawd/Start", "idle-MiB", "MiB", 30, false},
	{"memory under the dearest requests", "resawd/Memory", "peak-MiB", "MiB", 256, false},
	{"the program, which is all of the image", "resawd/Start", "program-MB", "MB", 28, false},
	{"gap of real orders after 1 s", "solver/RealOrder/1s", "%gap", "%", 0, false},
}
