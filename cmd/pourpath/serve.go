package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"time"

	"github.com/spf13/cobra"

	"pourpath/api"
	"pourpath/api/access"
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
	var at listenFlags
	var onVerdict, cert, key string
	var f storeFlags
	c := &cobra.Command{
		Use: "serve", Short: "Serve the pages and the API", Args: noArguments,
		Long: "Serves the pages at / and the API under /v1 until it is interrupted. Port 0 takes a free one;\nthe address is printed.\n\n" +
			"On a loopback address it serves this machine only. On any other, such as 0.0.0.0:8420, this\nmachine is served at 127.0.0.1 as ever, and of all others paired devices only: the page\n/devices shows a link that pairs one, and 'pourpath device' does.\n" +
			"Put no proxy before it: one that does not say so in a header makes everybody look local.",
		RunE: func(c *cobra.Command, _ []string) error {
			address, err := at.address()
			if err != nil {
				return err
			}
			certificate, err := certificateOf(cert, key)
			if err != nil {
				return err
			}
			if err := os.MkdirAll(f.data, 0o700); err != nil {
				return fmt.Errorf("data folder: %w", err)
			}
			return f.withStore(c.Context(), func(st *store.Store) error {
				return s.serve(c.Context(), service{listen: address, hosts: at.hosts, certificate: certificate, dataDir: f.data, records: st, onVerdict: onVerdict})
			})
		},
	}
	at.add(c, "127.0.0.1:8420")
	c.Flags().StringVar(&cert, "tls-cert", "", "`FILE` with the certificate, and those between it and its authority, as PEM: encrypts the line")
	c.Flags().StringVar(&key, "tls-key", "", "`FILE` with the key of the certificate, as PEM")
	c.Flags().StringVar(&onVerdict, "on-verdict", "", "run `COMMAND` for each verdict that changed and each decision, with it as JSON on standard input.\n"+
		"Words are parted at spaces and no shell reads them. For a webhook: \"curl -sS --fail -H content-type:application/json --data-binary @- URL\".\n"+
		"It runs for one event after the other, 30 s at most; up to 256 wait, and what does not fit is dropped and logged")
	f.add(c)
	return c
}

// certificateOf is the certificate to encrypt with; nil where none is given.
func certificateOf(cert, key string) (*tls.Certificate, error) {
	switch {
	case cert == "" && key == "":
		return nil, nil //nolint:nilnil // no certificate is plain HTTP
	case key == "":
		return nil, usage("--tls-cert %s: its key is missing; give it with --tls-key", cert)
	case cert == "":
		return nil, usage("--tls-key %s: its certificate is missing; give it with --tls-cert", key)
	}
	pair, err := tls.LoadX509KeyPair(cert, key)
	if err != nil {
		return nil, usage("--tls-cert %s, --tls-key %s: %v; want a certificate and its key, each as PEM", cert, key, err)
	}
	return &pair, nil
}

// service is what is served, and where.
type service struct {
	listen, dataDir string
	hosts           []string
	certificate     *tls.Certificate // nil for plain HTTP
	records         *store.Store
	demo            bool   // the pages open on the invented cellar
	onVerdict       string // the command that is told of verdicts; "" for none
}

// handler is the pages and the API together, for where they are served.
func (v service) handler(log *slog.Logger, told *hook.Hook, at access.Listening) (http.Handler, error) {
	site, err := pages.New(pages.Config{Version: version, Demo: v.demo, Records: v.records, DataDir: v.dataDir, Hook: told, Listening: at, Log: log})
	if err != nil {
		return nil, err
	}
	return api.New(api.Config{
		Version: version, DataDir: v.dataDir, Records: v.records, Hook: told, Log: log,
		Pages: site, Refused: site.Refused, Access: access.Config{Hosts: v.hosts},
	})
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
	listeners, at, err := v.listeners(ctx)
	if err != nil {
		return err
	}
	handler, err := v.handler(log, told, at)
	if err == nil {
		err = s.tellWhere(ctx, v, at)
	}
	if err != nil {
		return errors.Join(append(closeAll(listeners), err)...)
	}
	server := &http.Server{
		Handler: handler, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		ReadHeaderTimeout: headerWithin, ReadTimeout: requestWithin, WriteTimeout: answerWithin, IdleTimeout: idleFor,
		MaxHeaderBytes:               64 << 10,
		DisableGeneralOptionsHandler: true, // "OPTIONS *" asks the gate as all else does
	}
	if v.certificate != nil {
		server.TLSConfig = &tls.Config{Certificates: []tls.Certificate{*v.certificate}, MinVersion: tls.VersionTLS12}
	}
	return serveUntil(ctx, server, listeners)
}

// serveUntil runs server until ctx ends.
func serveUntil(ctx context.Context, server *http.Server, listeners []net.Listener) error {
	serve := server.Serve
	if server.TLSConfig != nil { // before any runs: serving sets it for uses of its own
		serve = func(l net.Listener) error { return server.ServeTLS(l, "", "") }
	}
	ended := make(chan error, len(listeners))
	for _, l := range listeners {
		go func() { ended <- serve(l) }()
	}
	select {
	case err := <-ended:
		return errors.Join(err, server.Close())
	case <-ctx.Done():
	}
	// ctx has ended; what is under way gets a little longer.
	finish, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownWithin)
	defer cancel()
	if err := server.Shutdown(finish); err != nil {
		return errors.Join(err, server.Close())
	}
	for range listeners {
		if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
			return err
		}
	}
	return nil
}
