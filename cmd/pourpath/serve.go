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
	"pourpath/api/hook"
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
	var listen, onVerdict string
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
				return s.serve(c.Context(), service{listen: listen, dataDir: f.data, records: st, onVerdict: onVerdict})
			})
		},
	}
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:8420", "`ADDRESS` of this machine to listen on")
	c.Flags().StringVar(&onVerdict, "on-verdict", "", "run `COMMAND` for each verdict that changed and each decision, with it as JSON on standard input.\n"+
		"Words are parted at spaces and no shell reads them. For a webhook: \"curl -sS --fail -H content-type:application/json --data-binary @- URL\".\n"+
		"It runs for one event after the other, 30 s at most; up to 256 wait, and what does not fit is dropped and logged")
	f.add(c)
	return c
}

// service is what is served, and where.
type service struct {
	listen, dataDir string
	records         *store.Store
	demo            bool   // the pages open on the invented cellar
	onVerdict       string // the command that is told of verdicts; "" for none
}

// handler is the pages and the API together.
func (v service) handler(log *slog.Logger, told *hook.Hook) (http.Handler, error) {
	site, err := pages.New(pages.Config{Version: version, Demo: v.demo, Records: v.records, DataDir: v.dataDir, Hook: told, Log: log})
	if err != nil {
		return nil, err
	}
	return api.New(api.Config{Version: version, DataDir: v.dataDir, Records: v.records, Hook: told, Log: log, Pages: site})
}

// hook is the command that is told of verdicts; nil for none.
func (v service) hook(log *slog.Logger) (*hook.Hook, error) {
	if v.onVerdict == "" {
		return nil, nil //nolint:nilnil // a nil hook tells nobody
	}
	told, err := hook.New(v.onVerdict, log)
	if err != nil {
		return nil, usage("--on-verdict: %v", err)
	}
	return told, nil
}

// serve answers until ctx ends, then lets what runs come to its end.
func (s *session) serve(ctx context.Context, v service) (err error) {
	if err := onLoopback(v.listen); err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(s.err, nil))
	told, err := v.hook(log)
	if err != nil {
		return err
	}
	defer func() {
		finish, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownWithin)
		defer cancel()
		err = errors.Join(err, told.Close(finish))
	}()
	handler, err := v.handler(log, told)
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
