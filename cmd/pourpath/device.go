package main

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"net/netip"
	"slices"
	"strings"

	"github.com/muesli/termenv"
	"github.com/spf13/cobra"

	"pourpath/api/access"
	"pourpath/api/qrcode"
	"pourpath/api/record"
	"pourpath/api/store"
)

// deviceCommand is the devices that may use the service from other machines.
func (s *session) deviceCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "device", Short: "Phones and other machines that may use the service", Args: noArguments,
		Long: "Where 'pourpath serve' listens on another than a loopback address, it answers paired devices\nonly. These commands work on the same records while it runs.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	list := listOfAll(s, "list", "List paired devices", func(ctx context.Context, d desk) ([]record.Device, error) { return d.records.Devices(ctx) }, (*page).devices)
	c.AddCommand(s.devicePair(), list, s.deviceRevoke())
	return c
}

// pairing is what device pair prints as JSON.
type pairing struct {
	Links []string       `json:"links"` // one for each address of this machine, the likeliest first
	Until record.Instant `json:"until"`
}

func (s *session) devicePair() *cobra.Command {
	var at listenFlags
	var encrypted bool
	c := &cobra.Command{
		Use: "pair", Short: "Show a link that pairs a device", Args: noArguments,
		Long: "Shows a link, and its QR code, that lets in one device, once, within ten minutes. Say with\n--listen, --host and --tls how the service runs that it leads to.",
		RunE: func(c *cobra.Command, _ []string) error {
			address, err := at.address()
			if err != nil {
				return err
			}
			to, err := netip.ParseAddrPort(address)
			if err != nil {
				return err
			}
			where := access.Listening{Address: to, TLS: encrypted, Hosts: at.hosts}
			if !where.Open() || to.Port() == 0 {
				return usage("--listen %s: no other machine reaches that address; give the one that 'pourpath serve' listens on, such as 0.0.0.0:8420", at.listen)
			}
			return s.atDesk(c, func(d desk) error {
				made, err := newLinks(c.Context(), d.records, where)
				return s.answered(err, made, func(p *page) { p.pairing(made) })
			})
		},
	}
	at.add(c, "0.0.0.0:8420")
	c.Flags().BoolVar(&encrypted, "tls", false, "the service has a certificate, so the link begins with https")
	s.forRecords(c)
	return c
}

// newLinks makes a key that pairs a device, and its links.
func newLinks(ctx context.Context, records *store.Store, where access.Listening) (pairing, error) {
	bases := where.Bases(ctx)
	if len(bases) == 0 {
		return pairing{}, errors.New("this machine has no address that another could reach: join a network first")
	}
	key, until, err := access.NewPairing(ctx, records)
	made := pairing{Until: until}
	for _, base := range bases {
		made.Links = append(made.Links, access.Link(base, key))
	}
	return made, err
}

func (s *session) deviceRevoke() *cobra.Command {
	c := &cobra.Command{
		Use: "revoke NAME|ID", Short: "Send a device away at once",
		Long: "Ends the session of the device with this identifier, or of the one device with this name.",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || strings.TrimSpace(args[0]) == "" {
				return usage("%s takes the name or identifier of one device; pourpath device list has them", c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if !s.records.there() {
				return usage("there are no records in %s, so no device is paired: say with --data where they are", s.records.data)
			}
			return s.atDesk(c, func(d desk) error {
				all, err := d.records.Devices(c.Context())
				if err != nil {
					return err
				}
				gone, err := deviceNamed(all, args[0])
				if err != nil {
					return err
				}
				if err := d.records.RemoveDevice(c.Context(), gone.ID); err != nil && !errors.Is(err, record.ErrNotFound) {
					return err
				}
				return s.answered(nil, gone, func(p *page) { p.linef("%s is sent away.", gone.Name) })
			})
		},
	}
	s.forRecords(c)
	return c
}

// deviceNamed is the device with an identifier, or the one with a name.
func deviceNamed(all []record.Device, word string) (record.Device, error) {
	var named []record.Device
	for _, d := range all {
		if d.ID == word {
			return d, nil
		}
		if strings.EqualFold(d.Name, strings.TrimSpace(word)) {
			named = append(named, d)
		}
	}
	switch len(named) {
	case 0:
		return record.Device{}, usage("no device %q is paired; pourpath device list has those that are", word)
	case 1:
		return named[0], nil
	}
	var ids []string
	for _, d := range named {
		ids = append(ids, fmt.Sprintf("%s (used %s from %s)", d.ID, minute(d.UsedAt), d.Address))
	}
	return record.Device{}, usage("%d devices are called %q; give the identifier of one: %s", len(named), word, strings.Join(ids, ", "))
}

// devices is the list.
func (p *page) devices(list []record.Device) {
	if len(list) == 0 {
		p.linef("No device is paired; pourpath device pair shows a link that pairs one.")
		return
	}
	for _, d := range list {
		p.linef("%s  %s  paired %s  last used %s from %s", d.ID, d.Name, minute(d.PairedAt), minute(d.UsedAt), d.Address)
	}
}

// pairing shows the links, and the first one as a QR code.
func (p *page) pairing(made pairing) {
	p.linef("Scan this with the phone, or open the link there. It lets in one device, once, until %s.\n", minute(made.Until))
	code, err := qrcode.New(made.Links[0])
	if err != nil {
		p.err = errors.Join(p.err, err)
		return
	}
	p.code(code)
	for i, link := range made.Links {
		switch i {
		case 0:
			p.linef("\n  %s", link)
		case 1:
			p.linef("\nWhere that does not open, by another address of this machine:\n  %s", link)
		default:
			p.linef("  %s", link)
		}
	}
}

// code draws a QR code: black on white where the output has colours, else as for a dark
// terminal, which is what most are.
func (p *page) code(code *qrcode.Code) {
	if p.profile == termenv.Ascii {
		p.linef("%s", drawn(strings.TrimSuffix(code.Blocks(true), "\n")))
		return
	}
	for line := range strings.Lines(code.Blocks(false)) {
		p.linef("%s", p.profile.String(strings.TrimSuffix(line, "\n")).Foreground(p.profile.Color("#000000")).Background(p.profile.Color("#ffffff")))
	}
}

// served tells where the service is reached, by the names that its certificate has.
func (p *page) served(at access.Listening, named []string, place string) {
	first, _ := at.Local()
	if len(named) > 0 {
		first = named[0]
	}
	p.linef("Pourpath %s serves on %s/ (records in %s). Stop it with Ctrl-C.", version, first, place)
	if !at.TLS || at.Certificate == nil {
		return
	}
	if len(named) > 1 {
		p.linef("Also on %s/.", strings.Join(named[1:], "/, "))
	}
	if len(named) == 0 {
		p.linef("The certificate does not name that address: browsers warn of it.")
	}
	if names := unanswered(at); len(names) > 0 {
		p.linef("The certificate names %s, which the service does not answer to: give it with --host.", strings.Join(names, ", "))
	}
}

// unanswered are names of the certificate that the service was not given; one with *
// stands for many, of which one will do.
func unanswered(at access.Listening) (names []string) {
	for _, name := range at.Certificate.DNSNames {
		alone := x509.Certificate{DNSNames: []string{name}}
		if !slices.ContainsFunc(append([]string{"localhost"}, at.Hosts...), func(host string) bool { return alone.VerifyHostname(host) == nil }) {
			names = append(names, name)
		}
	}
	return names
}

// tellWhere prints where the service is reached, and how devices are paired where they
// can be: to whoever watches at a terminal with a link at once, as what goes anywhere
// else may be kept, and read within the ten minutes.
func (s *session) tellWhere(ctx context.Context, v service, at access.Listening) error {
	p := s.page()
	p.served(at, at.Named(ctx), v.records.Place())
	if !at.Open() {
		return p.err
	}
	if local, named := at.Local(); named {
		p.linef("Other machines get nothing unless they are paired: on the page %s/devices, or with 'pourpath device pair'.", local)
	} else {
		p.linef("Other machines get nothing unless they are paired, with 'pourpath device pair'.")
	}
	if !at.TLS {
		p.linef("The line is not encrypted: others on the network can read along, and pages of the bench do not load again while the service cannot be reached. --tls-cert and --tls-key end both.")
	}
	if terminal(s.out) && len(at.Bases(ctx)) > 0 {
		made, err := newLinks(ctx, v.records, at)
		if err != nil {
			return err
		}
		p.pairing(made)
	}
	return p.err
}
