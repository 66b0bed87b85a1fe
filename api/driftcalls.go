package api

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/release"
	"pourpath/reports"
)

const exampleDriftAim = `{"product": "House rosé", "from_days": 0, "release_days": 120,
 "target": {"wine": {"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}}},
 "base": {"readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}},
 "addition": {"readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}}}`

type (
	// OfProduct is the part of a request that names a product.
	OfProduct struct {
		Product string `query:"product" doc:"Product of the lots; all lots together where left out."`
	}
	driftPlot struct {
		OfProduct
		Storage string `query:"storage" doc:"How the lots are kept; needed where they are kept in more than one way."`
		Accept  string `header:"Accept" hidden:"true"`
		InLanguage
	}
)

// drawings are the forms of a picture of the records, the first one for whoever
// takes any.
var drawings = []struct {
	mediaType string
	write     func(*reports.Drawing, io.Writer) error
}{
	{"image/svg+xml", (*reports.Drawing).WriteSVG},
	{"image/png", (*reports.Drawing).WritePNG},
	{"application/pdf", (*reports.Drawing).WritePDF},
}

// driftCalls are the calls about how the colour of lots drifts.
func (s *service) driftCalls(api huma.API) {
	registerRecord(s, api, recordOp[OfProduct]{
		method: http.MethodGet, path: "/v1/drift", id: "drift", tag: tagRecords, summary: "How the colour of lots drifts",
		description: "What the winery's own lots say of how A420, A520 and A620 change with the days since bottling: for each class of storage the rate with its interval, the curve, and readings that are far off; the classes held against each other. Samples of one day of one lot are one reading; L*, a*, b* alone and samples read with excess acetaldehyde tell nothing and are counted. Archived lots count. A class with too few data says what there is and what it takes, and nothing else.",
		answer:      reflect.TypeFor[release.Drift](),
		handle: func(ctx context.Context, in *OfProduct) (*reply, error) {
			return foundReply(s.release.Drift(ctx, in.Product))
		},
	})
	offered := make([]string, len(drawings))
	for i, d := range drawings {
		offered[i] = d.mediaType
	}
	registerRecord(s, api, recordOp[driftPlot]{
		method: http.MethodGet, path: "/v1/drift/plot", id: "drift-plot", tag: tagRecords, summary: "How the colour of lots drifts, as a picture",
		description: "The absorbances against days with the band of one lot more, and the readings of the lots, each brought to one level. The header Accept chooses image/svg+xml (also for */*), image/png or application/pdf.",
		choices:     offered, errors: []int{http.StatusNotAcceptable, http.StatusConflict},
		handle: func(ctx context.Context, in *driftPlot) (*reply, error) {
			return pictured(in.Accept, offered, func() (reports.Figure, error) {
				texts, err := in.texts()
				if err != nil {
					return nil, err
				}
				return s.release.DriftFigure(ctx, in.Product, in.Storage, texts)
			})
		},
	})
	registerRecord(s, api, recordOp[OfProduct]{
		method: http.MethodGet, path: "/v1/drift/lots", id: "drift-lots", tag: tagRecords, summary: "Lots that are about to leave their specification",
		description: "Forecasts of the newest 100 lots in use, as /v1/lots/{id}/drift gives them, those first that are expected to leave first; lots without a forecast with the reason.",
		answer:      reflect.TypeFor[release.DriftLots](),
		handle: func(ctx context.Context, in *OfProduct) (*reply, error) {
			return foundReply(s.release.DriftLots(ctx, in.Product, s.config.Records.Now()))
		},
	})
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/drift/aim", id: "drift-aim", tag: tagRecords, summary: "What to aim at today",
		description: "To be at the target on the day of release: the colour that the lot should have today, by how its product's lots drift, and with two wines or a trial the dose, in mL per 100 mL of base. Nothing is stored.",
		body:        reflect.TypeFor[release.DriftAimBody](), example: exampleDriftAim,
		answer: reflect.TypeFor[release.DriftAim](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *Sent) (*reply, error) {
			asked, err := calc.DecodeWhole[release.DriftAimBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			return foundReply(s.release.DriftAim(ctx, asked))
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/lots/{id}/drift", id: "lot-drift", tag: tagRecords, summary: "When a lot is expected to leave its specification",
		description: "From the newest reading of the lot and how the lots of its product that are kept alike drift: the day on which it is as likely to have left its specification as not, with a 95 % interval, in dates of UTC. Parts of the specification that no forecast is made for are named.",
		answer:      reflect.TypeFor[release.LotDrift](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return foundReply(s.release.LotDrift(ctx, in.ID, s.config.Records.Now()))
		},
	})
}

// pictured answers with a figure in the form that is wanted.
func pictured(accept string, offered []string, figure func() (reports.Figure, error)) (*reply, error) {
	form := negotiate(accept, offered)
	if form < 0 {
		return nil, kindNotAcceptable.problem("this picture is %s, not %.100q", strings.Join(offered, ", "), accept)
	}
	f, err := figure()
	if err != nil {
		return nil, err
	}
	drawing, err := f.Drawing()
	if err != nil {
		return nil, err
	}
	var body bytes.Buffer
	err = drawings[form].write(drawing, &body)
	return &reply{ContentType: offered[form], Body: body.Bytes()}, err
}
