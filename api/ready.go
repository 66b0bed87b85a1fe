package api

import (
	"errors"
	"fmt"
	"net/http"
	"os"

	"github.com/gin-gonic/gin"
)

// ready answers whether the data folder can be written to, by doing it.
func (s *service) ready(c *gin.Context) {
	if err := writable(s.config.DataDir); err != nil {
		s.config.Log.Error("not ready", "error", err)
		write(c, kindNotReady.problem("the data folder cannot be written to; the service's log says why"))
		return
	}
	c.JSON(http.StatusOK, gin.H{"status": "ready"})
}

// writable writes a small file to dir and removes it.
func writable(dir string) error {
	file, err := os.CreateTemp(dir, ".ready-*")
	if err != nil {
		return fmt.Errorf("api: data folder: %w", err)
	}
	_, written := file.WriteString("ready\n")
	if err := errors.Join(written, file.Close(), os.Remove(file.Name())); err != nil {
		return fmt.Errorf("api: data folder: %w", err)
	}
	return nil
}
