package api

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"pourpath/api/access"
)

// admit asks who may come in before anything else looks at a request.
func (s *service) admit(c *gin.Context) {
	admitted, err := s.gate.Admit(c.Request, c.FullPath())
	if err == nil {
		c.Request = admitted
		return
	}
	// The router has told already what an address takes; who is refused is not told
	// whether there is such an address.
	c.Writer.Header().Del("Allow")
	c.Header("Cache-Control", "no-store")
	var tooMany *access.TooManyError
	switch {
	case errors.Is(err, access.ErrForeignHost):
		write(c, kindForeignHost.problem("the request is for host %.100q; this service answers to localhost, loopback addresses and its own addresses only", c.Request.Host))
	case errors.Is(err, access.ErrForeignOrigin):
		write(c, kindForeignOrigin.problem("a page of another site (%.100q) may not use this service", c.Request.Header.Get("Origin")))
	case errors.Is(err, access.ErrUnpaired):
		c.Header("WWW-Authenticate", `Pairing realm="pourpath"`) // RFC 9110 wants one; no browser asks for a password by it
		s.refuse(c, kindUnpaired, "%v: open a link from the page /devices of the machine that the service runs on", err)
	case errors.Is(err, access.ErrLocalOnly):
		s.refuse(c, kindLocalOnly, "%v: open the page /devices there", err)
	case errors.As(err, &tooMany):
		wait := strconv.Itoa(int(math.Ceil(tooMany.Wait.Seconds())))
		c.Header("Retry-After", wait)
		s.refuse(c, kindTooMany, "this address was refused too often: try again in %s s", wait)
	default:
		s.writeRecordProblem(c, err)
	}
}

// refuse answers a browser that asks for a page with a page, all others with a problem.
func (s *service) refuse(c *gin.Context, k kind, format string, args ...any) {
	asksForPage := strings.Contains(c.GetHeader("Accept"), "text/html") && !strings.HasPrefix(c.Request.URL.Path, "/v1/")
	if s.config.Refused == nil || !asksForPage {
		write(c, k.problem(format, args...))
		return
	}
	c.Abort()
	s.config.Refused(c.Writer, c.Request, k.status)
}
