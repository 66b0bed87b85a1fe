package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"reflect"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
)

const (
	tagCalculations = "calculations"
	tagService      = "service"
	tagRecords      = "records"
	tagPanels       = "panels"
)

// description is the head of the interface's description. The library's own
// pages are left out: they load scripts from another host.
func description(version string) huma.Config {
	return huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info: &huma.Info{
				Title:   "Pourpath",
				Version: version,
				Description: "Predicts the colour of a rosé made by dosing a red wine into a white base, before anything is poured.\n\n" +
					"The end of a field's name is its unit; absorbances, L*a*b* and ratios have none. Doses are mL of addition per 100 mL of base, which is not a share of the blend: 10 mL per 100 mL is 9.09 %. " +
					"Numbers are not rounded. Errors are application/problem+json (RFC 9457).\n\n" +
					"Whoever sits at the machine is answered; from other machines paired devices are, by the cookie that they got (page /devices), and all others get 401, but for /healthz.\n\n" +
					"Colour says nothing of sulphur dioxide, alcohol, allergens or whether a blend and its label are lawful: local codes and licensed practice decide.",
				License: &huma.License{Name: "Apache-2.0", Identifier: "Apache-2.0"},
			},
			Servers: []*huma.Server{{URL: "/", Description: "The service that this document came from."}},
			Tags: []*huma.Tag{
				{Name: tagCalculations, Description: "Answers from the request alone; nothing is stored."},
				{Name: tagRecords, Description: "Wines, their readings over time, targets, trials, specifications, lots with their verdicts and statements, checks of instruments, and the files that readings came in. A reading is never changed: a correction supersedes it, and both stay."},
				{Name: tagPanels, Description: "Blind sessions on the glasses of a trial: what a judge sees has nothing but codes. Answers are never changed: a correction is another record."},
				{Name: tagService, Description: "Whether the service is well, and what it counts."},
			},
			Components: &huma.Components{
				Schemas: calc.NewRegistry(),
			},
		},
		Formats:       map[string]huma.Format{"application/json": huma.DefaultJSONFormat, "json": huma.DefaultJSONFormat},
		DefaultFormat: "application/json",
	}
}

// complete adds the calls that are not calculations and returns the whole
// description as JSON.
func complete(api huma.API) ([]byte, error) {
	document := api.OpenAPI()
	problem := document.Components.Schemas.Schema(reflect.TypeFor[calc.Problem](), true, "")
	text := &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString}}
	status := &huma.MediaType{Schema: &huma.Schema{
		Type: huma.TypeObject, Required: []string{"status"},
		Properties: map[string]*huma.Schema{"status": {Type: huma.TypeString, Description: "A word for people."}},
	}}
	addGet(document, "/healthz", "health", "Whether the process is up",
		"Answers while the process runs, whatever the state of its data.", "application/json", status)
	addGet(document, "/readyz", "readiness", "Whether the service can do its work",
		"Asks the store for an answer.", "application/json", status)
	document.Paths["/readyz"].Get.Responses["503"] = problemResponse(kindNotReady, problem)
	addGet(document, "/metrics", "metrics", "What the service counts",
		"Requests, durations and the state of the process, in the text format of Prometheus.", "text/plain", text)
	addGet(document, "/openapi.json", "openapi", "This document",
		"The description of this interface (OpenAPI 3.1).", "application/json",
		&huma.MediaType{Schema: &huma.Schema{Type: huma.TypeObject, AdditionalProperties: true}})
	for _, path := range []string{"/readyz", "/metrics", "/openapi.json"} {
		answers := document.Paths[path].Get.Responses
		answers["401"], answers["429"] = problemResponse(kindUnpaired, problem), problemResponse(kindTooMany, problem)
	}
	for _, item := range document.Paths {
		for _, operation := range []*huma.Operation{item.Get, item.Post, item.Put, item.Delete} {
			if operation == nil || operation.Tags[0] == tagService {
				continue
			}
			for code := range operation.Responses {
				if n, err := strconv.Atoi(code); err == nil && n >= http.StatusBadRequest {
					operation.Responses[code] = problemResponse(kindOf(n), problem)
				}
			}
		}
	}
	body, err := json.MarshalIndent(document, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("api: describing the interface: %w", err)
	}
	return append(body, '\n'), nil
}

func addGet(document *huma.OpenAPI, path, id, summary, description, mediaType string, content *huma.MediaType) {
	document.AddOperation(&huma.Operation{
		Method: http.MethodGet, Path: path, OperationID: id, Summary: summary, Description: description, Tags: []string{tagService},
		Responses: map[string]*huma.Response{"200": {Description: "The answer.", Content: map[string]*huma.MediaType{mediaType: content}}},
	})
}

// problemResponse describes an error, with what it is about.
func problemResponse(k kind, schema *huma.Schema) *huma.Response {
	return &huma.Response{
		Description: k.title + ".",
		Content:     map[string]*huma.MediaType{"application/problem+json": {Schema: schema}},
	}
}
