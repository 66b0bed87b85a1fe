package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/access"
)

// listenFlags say where a service listens.
type listenFlags struct {
	listen string
	hosts  []string
}

// add adds the flags to a command.
func (f *listenFlags) add(c *cobra.Command, listen string) {
	c.Flags().StringVar(&f.listen, "listen", listen, "`ADDRESS` to listen on; 0.0.0.0:8420 is all addresses of this machine")
	c.Flags().StringArrayVar(&f.hosts, "host", nil, "a `NAME` that this machine is reached by, such as that of the certificate; give it again for each")
}

// address is the address to listen on, with a number for its host.
func (f *listenFlags) address() (string, error) {
	for _, name := range f.hosts {
		if name == "" || strings.ContainsAny(name, ":/ \t") {
			return "", usage("--host %q: want a name or an address alone, such as cellar.local, without a port", name)
		}
	}
	host, port, err := net.SplitHostPort(f.listen)
	if err != nil {
		return "", usage("--listen %s: want an address and a port, such as 127.0.0.1:8420", f.listen)
	}
	if _, err := strconv.ParseUint(port, 10, 16); err != nil {
		return "", usage("--listen %s: want a port from 0 to 65535, as in 127.0.0.1:8420", f.listen)
	}
	switch {
	case host == "":
		host = "::"
	case strings.EqualFold(host, "localhost"):
		host = "127.0.0.1"
	}
	if _, err := netip.ParseAddr(host); err != nil {
		return "", usage("--listen %s: want an address of this machine in numbers, such as 127.0.0.1:8420, or 0.0.0.0:8420 for all; give a name with --host", f.listen)
	}
	return net.JoinHostPort(host, port), nil
}

// onLoopback refuses to listen to anything but this machine.
func onLoopback(address string) error {
	at, err := netip.ParseAddrPort(address)
	if err == nil && at.Addr().IsLoopback() {
		return nil
	}
	return usage("--listen %s: the invented cellar is shown to this machine only (127.0.0.1, ::1, localhost); 'pourpath serve' can let devices in", address)
}

// listeners are what the service is reached by. Where it listens on one address of this
// machine that is not loopback, it does on 127.0.0.1 too, for whoever sits here: devices
// are paired there.
func (v service) listeners(ctx context.Context) (_ []net.Listener, at access.Listening, err error) {
	at = access.Listening{TLS: v.certificate != nil, Hosts: v.hosts}
	if v.certificate != nil {
		at.Certificate = v.certificate.Leaf
	}
	var config net.ListenConfig
	first, err := listenOn(ctx, &config, v.listen)
	if err != nil {
		return nil, at, err
	}
	all := []net.Listener{first}
	if at.Address, err = netip.ParseAddrPort(first.Addr().String()); err != nil {
		return nil, at, errors.Join(append(closeAll(all), err)...)
	}
	if own := at.Address.Addr().Unmap(); !own.IsLoopback() && !own.IsUnspecified() {
		second, err := config.Listen(ctx, "tcp", netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 1}), at.Address.Port()).String())
		if err != nil {
			return nil, at, errors.Join(append(closeAll(all), fmt.Errorf("for this machine itself: %w", err))...)
		}
		all = append(all, second)
	}
	return all, at, nil
}

// listenOn listens on an address; :: where there is no version 6 is 0.0.0.0.
func listenOn(ctx context.Context, config *net.ListenConfig, address string) (net.Listener, error) {
	l, err := config.Listen(ctx, "tcp", address)
	if host, port, _ := net.SplitHostPort(address); err != nil && host == "::" {
		return config.Listen(ctx, "tcp", net.JoinHostPort("0.0.0.0", port))
	}
	return l, err
}

func closeAll(listeners []net.Listener) []error {
	var errs []error
	for _, l := range listeners {
		errs = append(errs, l.Close())
	}
	return errs
}
