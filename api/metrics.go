package api

import (
	"strconv"
	"sync"
	"time"

	"resawd/api/endpoint"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
)

// metrics is everything the service counts.
type metrics struct {
	known    sync.Map // kind to series, so that labels are looked up once
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

func newMetrics(r prometheus.Registerer, build string) *metrics {
	m := &metrics{
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "resawd_http_requests_total", Help: "Requests answered, by method, route and status.",
		}, []string{"method", "route", "status"}),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "resawd_http_request_duration_seconds", Help: "Time from the first byte read to the last written, by method, route and status.",
			Buckets: []float64{.0001, .00025, .0005, .001, .0025, .005, .01, .025, .05, .1, .25, 1, 2.5, 10, 60},
		}, []string{"method", "route", "status"}),
		inFlight: prometheus.NewGauge(prometheus.GaugeOpts{
			Name: "resawd_http_requests_in_flight", Help: "Requests being answered now.",
		}),
		problems: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "resawd_problems_total", Help: "Problems answered, by type.",
		}, []string{"type"}),
		leaves: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "resawd_leaves_computed_total", Help: "Leaves in the answers given.",
		}),
		rows: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "resawd_bulk_rows_total", Help: "Rows of tables answered, by result: answered, or refused with an error in the row.",
		}, []string{"result"}),
		planTime: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "resawd_plan_duration_seconds", Help: "Time that plans were worked on, without their waiting, by what ended the search.",
			Buckets: []float64{.001, .01, .1, .25, .5, 1, 2.5, 5, 10, 30, 60},
		}, []string{"stopped_by"}),
		planGap: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "resawd_plan_gap_ratio", Help: "How far the cost of plans lies above what is proven possible, 0 to 1.",
			Buckets: []float64{0, .0001, .001, .002, .01, .05, .25, 1},
		}),
	}
	m.reloads = prometheus.NewCounterVec(prometheus.CounterOpts{
		Name: "resawd_config_reloads_total", Help: "Times that the shop file or the keys file was read, by file and by whether it could be.",
	}, []string{"file", "result"})
	m.files = prometheus.NewGaugeVec(prometheus.GaugeOpts{
		Name: "resawd_config_last_reload_successful", Help: "Whether the shop file or the keys file could be read the last time.",
	}, []string{"file"})
	buildInfo := prometheus.NewGauge(prometheus.GaugeOpts{
		Name: "resawd_build_info", Help: "Always 1; the label tells the version.", ConstLabels: prometheus.Labels{"version": build},
	})
	buildInfo.Set(1)
	for _, t := range append(endpoint.ProblemTypes, endpoint.ClientGone) {
		m.problems.WithLabelValues(t.Path()) // so that the first of a type is an increase
	}
	r.MustRegister(m.requests, m.duration, m.inFlight, m.problems, m.leaves, m.rows, m.planTime, m.planGap, m.reloads, m.files, buildInfo,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// kind is what requests are told apart by.
type kind struct {
	method, route string
	status        int
}

// series are the metrics of one kind of request.
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

// seriesOf finds the metrics of a kind of request.
func (m *metrics) seriesOf(of kind) series {
	code := strconv.Itoa(of.status)
	return series{m.requests.WithLabelValues(of.method, of.route, code), m.duration.WithLabelValues(of.method, of.route, code)}
}

// methodLabel is a method as the metrics tell it, so that a client cannot
// invent labels.
func methodLabel(method string) string {
	switch method {
	case "GET", "HEAD", "POST", "OPTIONS", "PUT", "DELETE", "PATCH":
		return method
	}
	return "other"
}

// watch tells how much waits.
func (m *metrics) watch(r prometheus.Registerer, q *endpoint.Queue, a *admission) {
	r.MustRegister(
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "resawd_calculations_waiting", Help: "Calculations waiting for their turn.",
		}, func() float64 { return float64(a.waiting.Load()) }),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "resawd_held_bytes", Help: "Memory of bodies being read and of answers being sent, the small ones not counted.",
		}, func() float64 { return float64(a.held.Load()) }),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "resawd_plans_running", Help: "Plans being worked on now.",
		}, func() float64 { return float64(q.Running()) }),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "resawd_plans_waiting", Help: "Plans waiting for a worker.",
		}, func() float64 { return float64(q.Waiting()) }),
	)
}

// planned counts one plan.
func (m *metrics) planned(stoppedBy string, gap float64, took time.Duration) {
	m.planTime.WithLabelValues(stoppedBy).Observe(took.Seconds())
	m.planGap.Observe(gap)
}

// bulk counts the rows of one table.
func (m *metrics) bulk(rows, failed int) {
	m.rows.WithLabelValues("answered").Add(float64(rows - failed))
	m.rows.WithLabelValues("refused").Add(float64(failed))
}

// reloaded counts a file that was read, or could not be.
func (m *metrics) reloaded(file string, err error) {
	if err != nil {
		m.reloads.WithLabelValues(file, "failed").Inc()
		m.files.WithLabelValues(file).Set(0)
		return
	}
	m.reloads.WithLabelValues(file, "read").Inc()
	m.files.WithLabelValues(file).Set(1)
}
