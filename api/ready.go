package api

import (
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"
)

// ready answers whether the store does.
func (s *service) ready(c *gin.Context) {
	if err := s.config.Records.Ready(c.Request.Context()); err != nil {
		s.config.Log.Error("not ready", "error", err)
		c.Header("Retry-After", strconv.Itoa(retryAfterSeconds))
		write(c, kindNotReady.problem("the store does not answer; the service's log says why"))
		return
	}
	c.JSON(http.StatusOK, gin.H{"status": "ready"})
}
