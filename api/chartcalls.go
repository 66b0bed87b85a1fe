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

// chartMedia are the forms of a chart, JSON for whoever takes any.
var chartMedia = []struct {
	mediaType string
	draw      func(*reports.Drawing, io.Writer) error
}{
	{"application/json", nil},
	{"image/svg+xml", (*reports.Drawing).WriteSVG},
	{"image/png", (*reports.Drawing).WritePNG},
	{"application/pdf", (*reports.Drawing).WritePDF},
}

type (
	chartQuery struct {
		Accept string `header:"Accept" hidden:"true"`
		ChartFields
		InLanguage
		RawQuery
	}

	// ChartFields describes the query of a chart. The values are read from the query
	// itself.
	ChartFields struct {
		Product  string `query:"product" doc:"Lots of this product; or give spec."`
		Spec     string `query:"spec" doc:"Identifier of a specification: lots judged by it, in any version; or give product."`
		Kind     string `query:"kind" doc:"individuals (where left out), ewma, run (all there is of delta_e_00), t2 or plane."`
		Quantity string `query:"quantity" doc:"L (where left out), a, b, intensity, tint or delta_e_00; t2 and plane take none."`
		From     string `query:"from" doc:"Lots from then on (RFC 3339, or a date)."`
		To       string `query:"to" doc:"Lots before then, that moment not included."`
		Rules    string `query:"rules" doc:"Run rules of individuals: western_electric (where left out), nelson, or none for points beyond an action limit alone."`
		Base     string `query:"base" doc:"The lots that set the limits: how many from the first on, 10 or more, or a date that they lie before. All where left out."`
		Lambda   string `query:"lambda" doc:"ewma: weight of the newest lot, above 0 to 1; 0.2 where left out."`
		Points   string `query:"points" doc:"How many lots are listed and drawn, the newest ones: 0 to 2000, 500 where left out. All count."`
		Before   string `query:"before" doc:"List and draw those before the lot with this number, such as first_point of the answer before."`
	}
)

var chartFields = map[string]queryField{
	"product": words("product"), "spec": words("spec"), "kind": words("kind"), "quantity": words("quantity"), "from": words("from"), "to": words("to"),
	"rules": words("rules"), "base": words("base"), "lambda": numbers("lambda"), "points": numbers("points"), "before": numbers("before"),
}

// chartCalls is the call for charts of lots over time.
func (s *service) chartCalls(api huma.API) {
	const path = "/v1/charts"
	registerRecord(s, api, recordOp[chartQuery]{
		method: http.MethodGet, path: path, id: "chart", tag: tagRecords, summary: "A chart of lots over time",
		description: "The lots of a product or a specification in the order of time, with what stands out: individuals and moving ranges with run rules and capability (ISO 7870-2, ISO 22514-2), a running average for slow drift (ISO 7870-6), a run plot of ΔE00 without limits, Hotelling's T² of L*, a*, b*, or the path through the a*b* plane. Each lot is the mean of its samples by their newest verdicts. Lots that were read in other conditions than most are left out and named. The header Accept chooses application/json (also for */*), image/svg+xml, image/png or application/pdf.",
		answer:      reflect.TypeFor[release.Chart](), errors: []int{http.StatusNotAcceptable}, handle: s.chart,
	})
	content := api.OpenAPI().Paths[path].Get.Responses["200"].Content
	for _, m := range chartMedia[1:] {
		content[m.mediaType] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
	}
}

func (s *service) chart(ctx context.Context, in *chartQuery) (*reply, error) {
	offered := make([]string, len(chartMedia))
	for i, m := range chartMedia {
		offered[i] = m.mediaType
	}
	chosen := negotiate(in.Accept, offered)
	if chosen < 0 {
		return nil, kindNotAcceptable.problem("a chart is %s, not %.100q", strings.Join(offered, ", "), in.Accept)
	}
	body, err := queryBody(in.query, chartFields, map[string]any{}, "language")
	if err != nil {
		return nil, err
	}
	texts, err := in.texts()
	if err != nil {
		return nil, err
	}
	ask, err := calc.DecodeWhole[release.ChartAsk](body)
	if err != nil {
		return nil, byQuery(err, chartFields)
	}
	chart, err := s.release.Chart(ctx, ask)
	if err != nil {
		return nil, byQuery(err, chartFields)
	}
	if chosen == 0 {
		return jsonReply(chart, 0)
	}
	figure, err := chart.Figure(s.config.Version, texts)
	if err != nil {
		return nil, byQuery(err, chartFields)
	}
	drawing, err := figure.Drawing()
	if err != nil {
		return nil, err
	}
	var picture bytes.Buffer
	err = chartMedia[chosen].draw(drawing, &picture)
	return &reply{ContentType: offered[chosen], Body: picture.Bytes()}, err
}
