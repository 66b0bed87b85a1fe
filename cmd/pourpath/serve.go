package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/adrg/xdg"
	"github.com/spf13/cobra"

	"pourpath/api"
	"pourpath/api/pages"
)

// The times that a slow or silent client may take, and a shutdown.
const (
	headerWithin   = 5 * time.Second
	requestWithin  = 30 * time.Second
	answerWithin   = 60 * time.Second
	idleFor        = 2 * time.Minute
	shutdownWithin = 10 * time.Second
)

func (s *session) serveCommand() *cobra.Command {
	var listen, data, database string
	c := &cobra.Command{
		Use: "serve", Short: "Serve the pages and the API on this machine", Args: noArguments,
		Long: "Serves the pages at / and the API under /v1, for this machine only, until it is\ninterrupted. Port 0 takes a free one; the address is printed.",
		RunE: func(c *cobra.Command, _ []string) error {
			if database != "" {
				return usage("--database: records are not kept by this version yet, so there is nothing to put in a database; leave the flag out")
			}
			if err := os.MkdirAll(data, 0o700); err != nil {
				return fmt.Errorf("data folder: %w", err)
			}
			return s.serve(c.Context(), service{listen: listen, dataDir: data})
		},
	}
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:8420", "`ADDRESS` of this machine to listen on")
	c.Flags().StringVar(&data, "data", filepath.Join(xdg.DataHome, "pourpath"), "data folder `DIR`")
	c.Flags().StringVar(&database, "database", "", "`URL` of a database (not in this version)")
	return c
}

// service is what is served, and where.
type service struct {
	listen, dataDir string
	demo            bool // the pages open on the invented cellar
}

// handler is the pages and the API together.
func (v service) handler(log *slog.Logger) (http.Handler, error) {
	site, err := pages.New(pages.Config{Version: version, Demo: v.demo, Log: log})
	if err != nil {
		return nil, err
	}
	return api.New(api.Config{Version: version, DataDir: v.dataDir, Log: log, Pages: site})
}

// serve answers until ctx ends, then lets what runs come to its end.
func (s *session) serve(ctx context.Context, v service) error {
	if err := onLoopback(v.listen); err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(s.err, nil))
	handler, err := v.handler(log)
	if err != nil {
		return err
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", v.listen)
	if err != nil {
		return err
	}
	server := &http.Server{
		Handler: handler, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		ReadHeaderTimeout: headerWithin, ReadTimeout: requestWithin, WriteTimeout: answerWithin, IdleTimeout: idleFor,
		MaxHeaderBytes: 64 << 10,
	}
	if _, err := fmt.Fprintf(s.out, "Pourpath %s serves on http://%s/ (data in %s). Stop it with Ctrl-C.\n", version, listener.Addr(), v.dataDir); err != nil {
		return errors.Join(err, listener.Close())
	}
	return serveUntil(ctx, server, listener)
}

// serveUntil runs server until ctx ends.
func serveUntil(ctx context.Context, server *http.Server, listener net.Listener) error {
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	// ctx has ended; what is under way gets a little longer.
	finish, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownWithin)
	defer cancel()
	if err := server.Shutdown(finish); err != nil {
		return errors.Join(err, server.Close())
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// onLoopback refuses to listen to anything but this machine.
func onLoopback(address string) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return usage("--listen %s: want an address and a port, such as 127.0.0.1:8420", address)
	}
	if strings.EqualFold(host, "localhost") {
		return nil
	}
	if ip, err := netip.ParseAddr(host); err == nil && ip.IsLoopback() {
		return nil
	}
	return usage("--listen %s: only this machine's own addresses (127.0.0.1, ::1, localhost) are served, as there is no sign-in: on any other, whoever reaches the machine could use the cellar's data", address)
}
