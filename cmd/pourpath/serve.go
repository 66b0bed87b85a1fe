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
	"strings"
	"time"

	"github.com/spf13/cobra"

	"pourpath/api"
	"pourpath/api/pages"
	"pourpath/api/store"
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
	var listen string
	var f storeFlags
	c := &cobra.Command{
		Use: "serve", Short: "Serve the pages and the API on this machine", Args: noArguments,
		Long: "Serves the pages at / and the API under /v1, for this machine only, until it is\ninterrupted. Port 0 takes a free one; the address is printed.",
		RunE: func(c *cobra.Command, _ []string) error {
			if err := onLoopback(listen); err != nil {
				return err
			}
			if err := os.MkdirAll(f.data, 0o700); err != nil {
				return fmt.Errorf("data folder: %w", err)
			}
			return f.withStore(c.Context(), func(st *store.Store) error {
				return s.serve(c.Context(), service{listen: listen, dataDir: f.data, records: st})
			})
		},
	}
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:8420", "`ADDRESS` of this machine to listen on")
	f.add(c)
	return c
}

// service is what is served, and where.
type service struct {
	listen, dataDir string
	records         *store.Store
	demo            bool // the pages open on the invented cellar
}

// handler is the pages and the API together.
func (v service) handler(log *slog.Logger) (http.Handler, error) {
	site, err := pages.New(pages.Config{Version: version, Demo: v.demo, Records: v.records, DataDir: v.dataDir, Log: log})
	if err != nil {
		return nil, err
	}
	return api.New(api.Config{Version: version, DataDir: v.dataDir, Records: v.records, Log: log, Pages: site})
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
	if _, err := fmt.Fprintf(s.out, "Pourpath %s serves on http://%s/ (records in %s). Stop it with Ctrl-C.\n", version, listener.Addr(), v.records.Place()); err != nil {
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
