// Package api is the HTTP service: routes, middleware, errors, event streams, metrics
// and the request log. It passes requests to the core in package endpoint and sends the
// answers. It holds no formula.
package api

import (
	"context"
	"log/slog"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/key"
	"resawd/api/sheet"
	"resawd/api/shop"
	"resawd/calc/plan"
)

// Config is what a server needs. The fields from Shop to BodyLimit must be set; the
// zero values of the others are usable.
type Config struct {
	Shop      *shop.Shop
	Build     string               // version of the program, as in answers and metrics
	Log       *slog.Logger         // gets a line for each request
	Metrics   *prometheus.Registry // all metrics are registered here
	BodyLimit int64                // length of the longest JSON body, in bytes
	Ready     func() bool          // whether new requests are welcome; always when nil

	Guard
	MetricsApart bool // whether the metrics have an address of their own, served by MetricsHandler, in place of /metrics

	PlanWorkers   int           // plans searched for at once; see endpoint.NewQueue for 0
	PlanQueue     int           // plans that may wait for a worker
	PlanTimeLimit time.Duration // the longest time limit that a plan may ask for; 60 s when 0
}

// Server answers requests.
type Server struct {
	Config
	echo    *echo.Echo
	metrics *metrics
	shop    atomic.Pointer[shop.Shop]
	keys    atomic.Pointer[key.Ring]
	plans   *endpoint.Queue
	drain   context.CancelFunc

	stopping context.Context //nolint:containedctx // it ends with the service, not with a request
	stop     context.CancelFunc

	admission    *admission
	bulkPatience time.Duration
}

// Calculators lists every calculator, in the order of the documentation.
func Calculators() []endpoint.Calculator {
	list := []endpoint.Calculator{
		endpoint.New("/v1/yield", calculator.Yield),
		endpoint.New("/v1/flatten", calculator.Flatten),
		endpoint.New("/v1/moisture", calculator.Moisture),
		endpoint.New("/v1/target", calculator.Target),
		endpoint.New("/v1/rail", calculator.Rail),
		endpoint.New("/v1/blade", calculator.Blade),
		endpoint.New("/v1/align", calculator.Align),
		endpoint.New("/v1/dial", calculator.Dial),
		endpoint.New("/v1/backlash", calculator.Backlash),
		endpoint.New("/v1/gauge", calculator.Gauge).Also(sheet.GaugeHTML, sheet.GaugeSVG, sheet.GaugeXLSX),
		endpoint.NewByPost("/v1/backlash/estimate", calculator.BacklashEstimate),
		endpoint.New("/v1/feed", calculator.Feed),
		endpoint.New("/v1/run", calculator.Run).Also(sheet.RunHTML, sheet.RunSVG, sheet.RunXLSX),
		endpoint.New("/v1/laminate", calculator.Laminate),
		endpoint.New("/v1/price", calculator.Price),
		endpoint.New("/v1/upkeep", calculator.Upkeep),
		endpoint.NewLong("/v1/plan", calculator.Plan).Also(sheet.PlanHTML, sheet.PlanSVG, sheet.PlanXLSX, formEvents),
	}
	batch := endpoint.NewByPost("/v1/batch", calculator.Batch(list))
	batch.Many = true
	return append(list, batch)
}

// CalculatorAt finds a calculator by its path.
func CalculatorAt(path string) (*endpoint.Calculator, bool) {
	for _, k := range Calculators() {
		if k.Path == path {
			return &k, true
		}
	}
	return nil, false
}

// scrapes is how many clients may read the metrics at once.
const scrapes = 4

// New makes a server.
func New(config Config) *Server {
	s := &Server{Config: config, echo: echo.New(), metrics: newMetrics(config.Metrics, config.Build), admission: newAdmission(), bulkPatience: defaultBulkPatience}
	s.stopping, s.stop = context.WithCancel(context.Background())
	s.plans, s.drain = endpoint.NewQueue(config.PlanWorkers, config.PlanQueue, calculator.DefaultPlanTime, plan.ErrShutdown)
	watch(config.Metrics, s.plans, s.admission)
	s.UseShop(config.Shop)
	s.UseKeys(config.Keys)
	s.echo.HTTPErrorHandler = s.answerError
	s.echo.Use(s.middleware()...)
	for _, k := range Calculators() {
		if k.Long {
			s.echo.POST(k.Path, s.handleLong(&k))
			continue
		}
		handler := s.handle(&k)
		s.echo.POST(k.Path, handler)
		if !k.ByPost {
			s.get(k.Path, handler)
		}
	}
	s.get("/", func(c echo.Context) error { return s.showForm(c, firstForm) })
	s.get("/use/:name", func(c echo.Context) error { return s.showForm(c, c.Param("name")) })
	s.get("/form.js", showScript)
	s.resource("/v1/shop", s.showShop)
	s.resource("/v1/species", showSpecies)
	s.document()
	s.get("/problems/:type", showProblemType)
	s.get("/healthz", func(c echo.Context) error { return c.String(http.StatusOK, "ok\n") })
	s.get("/readyz", s.showReady)
	if !config.MetricsApart {
		s.get("/metrics", echo.WrapHandler(s.MetricsHandler()))
	}
	return s
}

// Workers is how many calculations, tables and plans are worked on at once.
func (s *Server) Workers() int { return s.admission.workers() + s.plans.Workers() }

// MetricsHandler serves the metrics.
func (s *Server) MetricsHandler() http.Handler {
	return promhttp.HandlerFor(s.Metrics, promhttp.HandlerOpts{Registry: s.Metrics, MaxRequestsInFlight: scrapes})
}

// UseShop has later requests use another shop.
func (s *Server) UseShop(now *shop.Shop) { s.shop.Store(now) }

// UseKeys has later requests need one of the keys of a ring, or none if it is nil.
func (s *Server) UseKeys(now *key.Ring) { s.keys.Store(now) }

// Reloaded records in the metrics whether a file could be read: "shop", "keys" or
// "certificate".
func (s *Server) Reloaded(file string, err error) { s.metrics.reloaded(file, err) }

// Routes lists the routes of the router, each as a method and a path.
func (s *Server) Routes() []string {
	var list []string
	for _, r := range s.echo.Routes() {
		list = append(list, r.Method+" "+r.Path)
	}
	return list
}

// get routes GET and HEAD to a handler.
func (s *Server) get(path string, handler echo.HandlerFunc) {
	s.echo.GET(path, handler)
	s.echo.HEAD(path, handler)
}

// middleware lists what runs before every handler, outermost first.
func (s *Server) middleware() []echo.MiddlewareFunc {
	return []echo.MiddlewareFunc{
		s.observe, // outermost, so that log and metrics see every answer
		middleware.RecoverWithConfig(middleware.RecoverConfig{ // a panic becomes a 500 and a log entry, not a dropped connection
			LogErrorFunc: s.logPanic, DisableErrorHandler: true,
		}),
		headers, // the same on every answer
		s.cors,  // before a refusal, so that a page can read it
		s.guard, // before any work for the request
	}
}

// Drain ends the plans that are being searched for, each with the best found so far,
// and takes no further ones. Those that wait, or have found nothing yet, are answered
// with status 503.
func (s *Server) Drain() {
	s.drain()
	s.stop()
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.echo.ServeHTTP(w, r) }

func (s *Server) showReady(c echo.Context) error {
	if s.Ready != nil && !s.Ready() {
		return c.String(http.StatusServiceUnavailable, "draining\n")
	}
	return c.String(http.StatusOK, "ready\n")
}

// headers tells caches what an answer depends on, and browsers not to guess its type.
// No cache keeps an answer unless its handler allows that.
func headers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h["Vary"] = vary
		h["X-Content-Type-Options"] = nosniff
		h["Referrer-Policy"] = noReferrer // a query may hold a key
		h["Cache-Control"] = noStore
		return next(c)
	}
}

// Values of headers that are always the same.
var (
	vary    = []string{"Accept, Accept-Encoding, Authorization"}
	nosniff = []string{"nosniff"}
	noStore = []string{"no-store"}
	noCache = []string{"no-cache"}

	noReferrer = []string{"no-referrer"}
)
