package web

import (
	"net/http"
	"strconv"
	"time"

	"dewgap/cmd/internal/web/desk"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Metrics counts what the server and its desk do, for Prometheus, in a registry of
// its own. Labels are drawn from small fixed sets: never from what a client sent.
type Metrics struct {
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	took     *prometheus.HistogramVec
	fetches  *prometheus.CounterVec
	fetching prometheus.Histogram
	made     *prometheus.HistogramVec
	failed   *prometheus.CounterVec
	asked    *prometheus.CounterVec
	pages    *prometheus.CounterVec
	unkept   prometheus.Counter
	wrong    prometheus.Counter
}

// NewMetrics makes the counters, all at zero.
func NewMetrics() *Metrics {
	counter := func(name, help string, labels ...string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Namespace: "dewgap", Name: name, Help: help}, labels)
	}
	seconds := func(name, help string, buckets ...float64) prometheus.HistogramOpts {
		return prometheus.HistogramOpts{Namespace: "dewgap", Name: name, Help: help, Buckets: buckets}
	}
	m := &Metrics{
		registry: prometheus.NewRegistry(),
		requests: counter("http_requests_total", "Requests answered, by route pattern, method and status.", "route", "method", "status"),
		took: prometheus.NewHistogramVec(seconds("http_request_seconds", "Time to answer a request.",
			.001, .005, .025, .1, .5, 2, 10, 60), []string{"route"}),
		fetches:  counter("forecast_fetches_total", "Forecasts asked for, saved copies included, by outcome.", "outcome"),
		fetching: prometheus.NewHistogram(seconds("forecast_fetch_seconds", "Time to get a forecast.", .001, .01, .1, .5, 2, 10, 60)),
		made: prometheus.NewHistogramVec(seconds("answer_seconds", "Time to make an answer, its plan included.",
			.05, .1, .25, .5, 1, 2, 5, 15, 60), []string{"kind"}),
		failed: counter("answer_failures_total", "Answers that could not be made.", "kind"),
		asked:  counter("answer_cache_total", "Answers asked for, by whether one was to hand: hit, stale or miss.", "kind", "had"),
		pages:  counter("page_cache_total", "Pages asked for, by whether one was to hand: hit or miss.", "had"),
		unkept: prometheus.NewCounter(prometheus.CounterOpts{Namespace: "dewgap", Name: "answers_unkept_total", Help: "Answers that the book did not take."}),
		wrong:  prometheus.NewCounter(prometheus.CounterOpts{Namespace: "dewgap", Name: "sign_in_failures_total", Help: "Wrong tokens."}),
	}
	for _, outcome := range []string{"ok", "failed"} {
		m.fetches.WithLabelValues(outcome)
	}
	m.registry.MustRegister(m.requests, m.took, m.fetches, m.fetching, m.made, m.failed, m.asked, m.pages, m.unkept, m.wrong,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Watch is the desk's watch that counts. logged is told what is worth a line; nil is
// nobody.
func (m *Metrics) Watch(logged func(what string, err error)) desk.Watch {
	tell := func(what string, err error) {
		if err != nil && logged != nil {
			logged(what, err)
		}
	}
	return desk.Watch{
		Fetched: func(_ string, took time.Duration, err error) {
			outcome := "ok"
			if err != nil {
				outcome = "failed"
			}
			m.fetches.WithLabelValues(outcome).Inc()
			m.fetching.Observe(took.Seconds())
			tell("no forecast", err)
		},
		Made: func(kind string, took time.Duration, err error) {
			m.made.WithLabelValues(kind).Observe(took.Seconds())
			if err != nil {
				m.failed.WithLabelValues(kind).Inc()
			}
			if !desk.Known(err) {
				tell("no "+kind, err)
			}
		},
		Asked: func(kind string, had desk.Had) { m.asked.WithLabelValues(kind, string(had)).Inc() },
		Unrecorded: func(err error) {
			m.unkept.Inc()
			tell("an answer is not in the book", err)
		},
	}
}

// follow adds what is looked up at the moment of asking.
func (m *Metrics) follow(d *desk.Desk, cs *conns) {
	m.registry.MustRegister(ages{d}, prometheus.NewGaugeFunc(
		prometheus.GaugeOpts{Namespace: "dewgap", Name: "connections", Help: "Open connections."},
		func() float64 { n, _ := cs.count(); return float64(n) }), prometheus.NewCounterFunc(
		prometheus.CounterOpts{Namespace: "dewgap", Name: "connections_evicted_total", Help: "Connections closed to make room for others."},
		func() float64 { _, n := cs.count(); return float64(n) }))
}

// ages tells how old the forecasts of the newest answers are.
type ages struct{ d *desk.Desk }

var ageDesc = prometheus.NewDesc("dewgap_forecast_age_seconds", "Age of the forecast behind the newest answer.", []string{"job"}, nil)

// Describe is for the registry.
func (a ages) Describe(ch chan<- *prometheus.Desc) { ch <- ageDesc }

// Collect is for the registry.
func (a ages) Collect(ch chan<- prometheus.Metric) {
	for id, made := range a.d.ForecastMade() {
		ch <- prometheus.MustNewConstMetric(ageDesc, prometheus.GaugeValue, a.d.Now().Sub(made).Seconds(), id)
	}
}

// handler serves the counters.
func (m *Metrics) handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{MaxRequestsInFlight: 4, Timeout: 10 * time.Second})
}

// answered counts one request.
func (m *Metrics) answered(route, method string, status int, took time.Duration) {
	m.requests.WithLabelValues(route, methodLabel(method), strconv.Itoa(status)).Inc()
	m.took.WithLabelValues(route).Observe(took.Seconds())
}

// methodLabel is the method, or a word for any that HTTP does not have.
func methodLabel(method string) string {
	switch method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodDelete, http.MethodOptions, http.MethodPatch:
		return method
	}
	return "other"
}
