package api

import (
	"strconv"
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promauto"

	"resawd/api/endpoint"
)

// metrics is everything that the service counts.
type metrics struct {
	known    sync.Map // from kind to series, so that labels are looked up once
	requests *prometheus.CounterVec
	duration *prometheus.HistogramVec
	inFlight prometheus.Gauge
	problems *prometheus.CounterVec
	leaves   prometheus.Counter
	rows     *prometheus.CounterVec
	planTime *prometheus.HistogramVec
	planGap  prometheus.Histogram
	reloads  *prometheus.CounterVec
	files    *prometheus.GaugeVec
}

// The bounds of the buckets, in seconds.
var (
	requestSeconds = []float64{.0001, .00025, .0005, .001, .0025, .005, .01, .025, .05, .1, .25, 1, 2.5, 10, 60}
	planSeconds    = []float64{.001, .01, .1, .25, .5, 1, 2.5, 5, 10, 30, 60}
)

func newMetrics(r prometheus.Registerer, build string) *metrics {
	r.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	f := promauto.With(r)
	f.NewGauge(prometheus.GaugeOpts{
		Name: "resawd_build_info", Help: "Always 1. The label is the version.", ConstLabels: prometheus.Labels{"version": build},
	}).Set(1)
	m := &metrics{
		requests: f.NewCounterVec(prometheus.CounterOpts{
			Name: "resawd_http_requests_total", Help: "Requests answered, by method, route and status.",
		}, []string{"method", "route", "status"}),
		duration: f.NewHistogramVec(prometheus.HistogramOpts{
			Name: "resawd_http_request_duration_seconds", Help: "Time from the start of a request to the end of its answer, by method, route and status.", Buckets: requestSeconds,
		}, []string{"method", "route", "status"}),
		inFlight: f.NewGauge(prometheus.GaugeOpts{
			Name: "resawd_http_requests_in_flight", Help: "Requests being answered now.",
		}),
		problems: f.NewCounterVec(prometheus.CounterOpts{
			Name: "resawd_problems_total", Help: "Problems answered, by type.",
		}, []string{"type"}),
		leaves: f.NewCounter(prometheus.CounterOpts{
			Name: "resawd_leaves_computed_total", Help: "Leaves in all answers.",
		}),
		rows: f.NewCounterVec(prometheus.CounterOpts{
			Name: "resawd_bulk_rows_total", Help: "Rows of tables, by result: answered, or refused with an error in the row.",
		}, []string{"result"}),
		planTime: f.NewHistogramVec(prometheus.HistogramOpts{
			Name: "resawd_plan_duration_seconds", Help: "Time spent searching for plans, without the wait for a worker, by what ended the search.", Buckets: planSeconds,
		}, []string{"stopped_by"}),
		planGap: f.NewHistogram(prometheus.HistogramOpts{
			Name: "resawd_plan_gap_ratio", Help: "Gap between the cost of a plan and its lower bound, as a share of the cost, 0 to 1.",
			Buckets: []float64{0, .0001, .001, .002, .01, .05, .25, 1},
		}),
		reloads: f.NewCounterVec(prometheus.CounterOpts{
			Name: "resawd_config_reloads_total", Help: "Readings of the shop file, the keys file and the certificate, by file and result.",
		}, []string{"file", "result"}),
		files: f.NewGaugeVec(prometheus.GaugeOpts{
			Name: "resawd_config_last_reload_successful", Help: "Whether the last reading of a file succeeded, by file.",
		}, []string{"file"}),
	}
	for _, t := range append(endpoint.ProblemTypes, endpoint.ClientGone) {
		m.problems.WithLabelValues(t.Path()) // starts at 0, so that the first problem of a type shows as an increase
	}
	return m
}

// kind is the labels that requests are counted by.
type kind struct {
	method, route string
	status        int
}

// series are the two series of one kind of request.
type series struct {
	count    prometheus.Counter
	duration prometheus.Observer
}

// answered counts one request.
func (m *metrics) answered(method, route string, status int, took time.Duration) {
	of := kind{method, route, status}
	known, ok := m.known.Load(of)
	if !ok {
		known, _ = m.known.LoadOrStore(of, m.seriesOf(of))
	}
	if s, ok := known.(series); ok {
		s.count.Inc()
		s.duration.Observe(took.Seconds())
	}
}

// seriesOf looks up the series of a kind of request.
func (m *metrics) seriesOf(of kind) series {
	code := strconv.Itoa(of.status)
	return series{m.requests.WithLabelValues(of.method, of.route, code), m.duration.WithLabelValues(of.method, of.route, code)}
}

// methodLabel is the label of a method. Methods that nobody should send share one, so
// that a client cannot make up labels.
func methodLabel(method string) string {
	switch method {
	case "GET", "HEAD", "POST", "OPTIONS", "PUT", "DELETE", "PATCH":
		return method
	}
	return "other"
}

// watch registers the gauges of what runs and what waits.
func watch(r prometheus.Registerer, q *endpoint.Queue, a *admission) {
	f := promauto.With(r)
	f.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "resawd_calculations_waiting", Help: "Calculations waiting for their turn.",
	}, func() float64 { return float64(a.small.waiting.Load() + a.large.waiting.Load()) })
	f.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "resawd_held_bytes", Help: "Memory taken by bodies being read and answers being sent, small ones not counted.",
	}, func() float64 { return float64(a.held.Load()) })
	f.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "resawd_plans_running", Help: "Plans being searched for now.",
	}, func() float64 { return float64(q.Running()) })
	f.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "resawd_plans_waiting", Help: "Plans waiting for a worker.",
	}, func() float64 { return float64(q.Waiting()) })
}

// planned counts one plan.
func (m *metrics) planned(stoppedBy string, gap float64, took time.Duration) {
	m.planTime.WithLabelValues(stoppedBy).Observe(took.Seconds())
	m.planGap.Observe(gap)
}

// bulk counts the rows of a table.
func (m *metrics) bulk(rows, failed int) {
	m.rows.WithLabelValues("answered").Add(float64(rows - failed))
	m.rows.WithLabelValues("refused").Add(float64(failed))
}

// reloaded counts a reading of a file, and whether it failed.
func (m *metrics) reloaded(file string, err error) {
	if err != nil {
		m.reloads.WithLabelValues(file, "failed").Inc()
		m.files.WithLabelValues(file).Set(0)
		return
	}
	m.reloads.WithLabelValues(file, "read").Inc()
	m.files.WithLabelValues(file).Set(1)
}
