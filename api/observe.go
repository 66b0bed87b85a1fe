package api

import (
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"pourpath/api/calc"
	"pourpath/api/hook"
)

// metrics counts what the service did, in a registry of its own so that two
// services in one process do not meet.
type metrics struct {
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	duration *prometheus.HistogramVec
	failures prometheus.Counter
}

func newMetrics(version string) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "pourpath_http_requests_total", Help: "Requests answered, by method, route and status.",
		}, []string{"method", "route", "status"}),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "pourpath_http_request_duration_seconds", Help: "Time to answer, by method and route.",
			Buckets: []float64{.0005, .001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10},
		}, []string{"method", "route"}),
		failures: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "pourpath_internal_errors_total", Help: "Requests that met a fault of the program.",
		}),
	}
	build := prometheus.NewGauge(prometheus.GaugeOpts{
		Name: "pourpath_build_info", Help: "Always 1; the label is the program's version.",
		ConstLabels: prometheus.Labels{"version": version},
	})
	build.Set(1)
	m.registry.MustRegister(m.requests, m.duration, m.failures, build,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// countEvents counts what became of events that a command is told, where there is
// one.
func (m *metrics) countEvents(h *hook.Hook) {
	if h == nil {
		return
	}
	for result, of := range map[string]func(hook.Counts) int64{
		"done":    func(c hook.Counts) int64 { return c.Done },
		"failed":  func(c hook.Counts) int64 { return c.Failed },
		"dropped": func(c hook.Counts) int64 { return c.Dropped },
	} {
		m.registry.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{
			Name: "pourpath_verdict_events_total", Help: "Events for the command on verdicts, by what became of them.",
			ConstLabels: prometheus.Labels{"result": result},
		}, func() float64 { return float64(of(h.Counts())) }))
	}
	m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "pourpath_verdict_events_waiting", Help: "Events that wait for the command on verdicts.",
	}, func() float64 { return float64(h.Counts().Waiting) }))
}

func (m *metrics) handler() gin.HandlerFunc {
	return gin.WrapH(promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{}))
}

// observe counts and logs each request. Routes are labelled by their pattern and
// methods by a fixed list, so that nobody can make labels without end.
func (s *service) observe(c *gin.Context) {
	start := time.Now()
	c.Next()

	route, method := c.FullPath(), c.Request.Method
	if route == "" {
		route = "none"
	}
	switch method {
	case http.MethodGet, http.MethodPost, http.MethodHead, http.MethodOptions, http.MethodPut, http.MethodPatch, http.MethodDelete:
	default:
		method = "other"
	}
	status, took := c.Writer.Status(), time.Since(start)
	s.metrics.requests.WithLabelValues(method, route, strconv.Itoa(status)).Inc()
	s.metrics.duration.WithLabelValues(method, route).Observe(took.Seconds())
	s.config.Log.LogAttrs(c.Request.Context(), slog.LevelInfo, "request",
		slog.String("method", method), slog.String("route", route), slog.Int("status", status),
		slog.Duration("took", took), slog.Int("bytes", max(0, c.Writer.Size())))
}

// recoverPanic answers a fault of this program, wherever it happens.
func (s *service) recoverPanic(c *gin.Context) {
	defer func() {
		fault := recover()
		err, isError := fault.(error)
		switch {
		case fault == nil:
		case isError && errors.Is(err, http.ErrAbortHandler):
			panic(fault)
		case c.Writer.Written():
			s.report(fmt.Errorf("panic after the answer began: %v", fault), debug.Stack())
			c.Abort()
		default:
			write(c, s.internal(fmt.Errorf("panic: %v", fault), debug.Stack()))
		}
	}()
	c.Next()
}

// report logs a fault of this program whole and returns the name it is logged
// under.
func (s *service) report(err error, stack []byte) (instance string) {
	instance = newInstance()
	s.metrics.failures.Inc()
	s.config.Log.Error("internal error", "instance", instance, "error", err, "stack", string(stack))
	return instance
}

// internal reports a fault of this program and returns what its reader is told:
// nothing but a name that the log has too.
func (s *service) internal(err error, stack []byte) *calc.Problem {
	instance := s.report(err, stack)
	p := kindInternal.problem("internal error; the service's log has the details under %s", instance)
	p.Instance = instance
	return p
}

// newInstance names one occurrence of an error: a random UUID (RFC 9562,
// version 4) as a URI.
func newInstance() string {
	var b [16]byte
	rand.Read(b[:]) // never fails, as crypto/rand documents
	b[6] = b[6]&0x0f | 0x40
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}
