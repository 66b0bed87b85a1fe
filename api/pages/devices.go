package pages

import (
	"errors"
	"net/http"
	"strings"
	"unicode/utf8"

	"pourpath/api/access"
	"pourpath/api/qrcode"
	"pourpath/api/record"
)

// pairPage is where the links of pairing begin.
const pairPage = "/pair/"

// longestDeviceName is how long the name of a device may be, in characters.
const longestDeviceName = 60

func (s *site) deviceRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /devices", s.answer(s.devices))
	mux.HandleFunc("POST /devices/keys", s.answer(s.newPairing))
	mux.HandleFunc("POST /devices/{id}/end", s.answer(s.endDevice))
	mux.HandleFunc("GET /device", s.answer(s.device))
	mux.HandleFunc("POST /device", s.answerWriter(s.endOwn))
	mux.HandleFunc("GET "+pairPage+"{key}", s.answerWriter(s.pairForm))
	mux.HandleFunc("POST "+pairPage+"{key}", s.answerWriter(s.pair))
}

// devicesView is the page of devices.
type devicesView struct {
	frame
	Open        bool // other machines can reach the service
	Unencrypted bool
	Link        *pairLink // that was just made
	Items       []deviceRow
}

// pairLink is a link that pairs a device, once for each address of the machine.
type pairLink struct {
	Minutes int // that it is good for
	Ways    []pairWay
}

// pairWay is a link by one of the addresses, and as a QR code.
type pairWay struct {
	Base, Link, Path string
	Side             int
}

// deviceRow is a device that may come in.
type deviceRow struct {
	ID, Name, Address string
	Paired, Used      moment
}

func (s *site) devices(r *http.Request) (document, error) { return s.devicesWith(r, nil) }

func (s *site) devicesWith(r *http.Request, link *pairLink) (document, error) {
	listed, err := s.config.Records.Devices(r.Context())
	if err != nil {
		return document{}, err
	}
	view := devicesView{frame: s.frame(r, "devices"), Open: s.config.Listening.Open(), Unencrypted: !s.config.Listening.TLS, Link: link}
	for _, d := range listed {
		view.Items = append(view.Items, deviceRow{ID: d.ID, Name: d.Name, Address: d.Address, Paired: momentOf(d.PairedAt), Used: momentOf(d.UsedAt)})
	}
	d, err := s.render("devices.html", view)
	d.passing = true
	return d, err
}

// newPairing shows a new link. It is part of the answer and of nothing else, as only its
// hash is kept.
func (s *site) newPairing(r *http.Request) (document, error) {
	if !s.config.Listening.Open() {
		return document{to: "/devices", status: http.StatusSeeOther}, nil
	}
	key, _, err := access.NewPairing(r.Context(), s.config.Records)
	if err != nil {
		return document{}, err
	}
	link := &pairLink{Minutes: int(access.KeyWithin.Minutes())}
	for _, base := range s.config.Listening.Bases(r.Context()) {
		to := access.Link(base, key)
		code, err := qrcode.New(to)
		if err != nil {
			return document{}, err
		}
		link.Ways = append(link.Ways, pairWay{Base: base, Link: to, Path: code.Path(), Side: code.Side()})
	}
	return s.devicesWith(r, link)
}

// endDevice sends a device away; one that is gone already is gone.
func (s *site) endDevice(r *http.Request) (document, error) {
	if err := s.config.Records.RemoveDevice(r.Context(), r.PathValue("id")); err != nil && !errors.Is(err, record.ErrNotFound) {
		return document{}, err
	}
	return document{to: "/devices", status: http.StatusSeeOther}, nil
}

// deviceView is what a device knows of itself; Device is nil at the machine itself.
type deviceView struct {
	frame
	Device *deviceRow
}

func (s *site) device(r *http.Request) (document, error) {
	view := deviceView{frame: s.frame(r, "device")}
	if d := access.VisitorOf(r.Context()).Device; d != nil {
		view.Device = &deviceRow{Name: d.Name, Paired: dayOf(d.PairedAt)}
	}
	return s.render("device.html", view)
}

// endOwn ends the session of the device that asks for it.
func (s *site) endOwn(w http.ResponseWriter, r *http.Request) (document, error) {
	d := access.VisitorOf(r.Context()).Device
	if d == nil {
		return document{to: "/device", status: http.StatusSeeOther}, nil
	}
	if err := s.config.Records.RemoveDevice(r.Context(), d.ID); err != nil && !errors.Is(err, record.ErrNotFound) {
		return document{}, err
	}
	access.ForgetDevice(w, r)
	// Pages of trials are kept on the device for when the service cannot be reached. Over a
	// line that is not encrypted none are, and browsers pass over this header.
	w.Header().Set("Clear-Site-Data", `"cache", "storage"`)
	return s.outsidePage(w, http.StatusOK, outsideView{Kind: "ended"})
}

// pairForm is what a link leads to. It uses nothing up: whatever looks at links before
// they are opened, such as the preview of a message, would spoil them.
func (s *site) pairForm(w http.ResponseWriter, r *http.Request) (document, error) {
	if kind := needsNone(r); kind != "" {
		return s.outsidePage(w, http.StatusOK, outsideView{Kind: kind})
	}
	return s.outsidePage(w, http.StatusOK, outsideView{Kind: "pair", Plain: r.TLS == nil})
}

// needsNone is why whoever opens a link needs no pairing; empty where it does.
func needsNone(r *http.Request) string {
	switch v := access.VisitorOf(r.Context()); {
	case v.Local:
		return "here"
	case v.Device != nil:
		return "paired"
	}
	return ""
}

// pair takes a device in.
func (s *site) pair(w http.ResponseWriter, r *http.Request) (document, error) {
	if kind := needsNone(r); kind != "" {
		return s.outsidePage(w, http.StatusOK, outsideView{Kind: kind})
	}
	r.Body = http.MaxBytesReader(w, r.Body, longestForm)
	if err := r.ParseForm(); err != nil {
		return document{}, unreadable(err)
	}
	name, ok := deviceName(r.PostForm.Get("name"))
	if !ok {
		return s.outsidePage(w, http.StatusUnprocessableEntity, outsideView{Kind: "pair", Name: r.PostForm.Get("name"), Faulty: true, Plain: r.TLS == nil})
	}
	err := access.Pair(w, r, s.config.Records, r.PathValue("key"), name)
	if errors.Is(err, record.ErrNotFound) { // another device was quicker
		return s.outsidePage(w, http.StatusUnauthorized, outsideView{Kind: "unpaired"})
	}
	if err != nil {
		return document{}, err
	}
	return document{to: "/", status: http.StatusSeeOther}, nil
}

// deviceName is a name as it is kept: a line of text that is seen.
func deviceName(typed string) (name string, ok bool) {
	name = strings.Join(strings.Fields(typed), " ")
	if name == "" || !utf8.ValidString(name) || utf8.RuneCountInString(name) > longestDeviceName {
		return "", false
	}
	_, unseen := record.UnseenIn(name)
	return name, !unseen
}
