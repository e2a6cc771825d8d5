package main

import (
	"strings"
	"testing"
)

// printed is what go test -bench prints, cut short.
const printed = `goos: linux
cpu: some processor
BenchmarkSpeed/yield/GET-2         	       1	3627649928 ns/op	      4236 B/request	        66.5 allocs/request	         0.95 of-bare	     25289 requests/s
BenchmarkSpeed/dial/GET-2          	       1	3627649928 ns/op	      4236 B/request	        66.5 allocs/request	         0.7 of-bare	     25289 requests/s
BenchmarkSpeed/feed/GET-2          	       1	3627649928 ns/op	      4236 B/request	        66.5 allocs/request	         0.91 of-bare	     25289 requests/s
BenchmarkLatency/alone-2           	       1	5023436570 ns/op	         0.3340 p50-ms	         6.25 p99-ms
BenchmarkRealOrder/1s              	       1	1000000000 ns/op	         2.0 %gap
BenchmarkRealOrder/1s#01           	       1	1000000000 ns/op	         4.0 %gap
PASS
ok  	resawd/cmd/resawd	21.514s
`

func TestReport(t *testing.T) {
	r := report{Machine: machine{"some processor", 2, "go1.26", "0.10"}, Benchmarks: benchmarks{}}
	if err := r.Benchmarks.add("./cmd/resawd", []byte(printed)); err != nil {
		t.Fatal(err)
	}
	r.Benchmarks["solver/RealOrder/1s"] = r.Benchmarks["resawd/RealOrder/1s"]
	r.weigh()
	var out strings.Builder
	if err := r.print(&out); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"some processor, 2 cores, go1.26; load average 0.10 before\n",
		"| a calculator by GET, of the requests a second of bare Echo: median | 0.91 | 0.9 |\n",
		"| dial by GET | 0.7 | 0.9, missed |\n",
		"| at half load: 99 % | 6.25 ms | 5, missed |\n",
		"| gap of real orders after 1 s | 3 % |  |\n",
		"| dial/GET | 0.70 | 0.00 | 25289 | 66 | 4236 |\n",
	} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("there is no %q in\n%s", want, &out)
		}
	}
	if err := r.Benchmarks.add("./cmd/resawd", []byte("PASS\n")); err == nil {
		t.Error("no benchmark, and no error")
	}
}
