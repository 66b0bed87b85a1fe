package api

import (
	"net/http"
	"path"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"pourpath/api/access"
	"pourpath/api/calc"
)

// calculations is the table of the calls that are described in /openapi.json.
func (s *service) calculations(api huma.API) {
	calculation(s, api, operation{
		id: "colour", path: "/v1/colour", summary: "Colour of one wine",
		description: "The colour of a wine from its readings, its spectrum or its CIELAB values, under the conditions asked for: OIV indices for 10 mm, L*a*b*, a colour for the screen, and how sure each of them is.",
		example:     calc.ExampleColour,
	}, calc.Colour)
	calculation(s, api, operation{
		id: "blend", path: "/v1/blend", summary: "Colour of a blend",
		description: "The colour of two wines or more poured together. Absorbance adds by volume fraction: 10 mL into 100 mL is 9.09 % of the blend.",
		example:     calc.ExampleBlend,
	}, calc.Blend)
	calculation(s, api, operation{
		id: "ladder", path: "/v1/ladder", summary: "Colours of rising doses",
		description: "A base with rising doses of an addition, rung by rung, and the dose that comes closest to a target with its 95 % interval. Rungs that were poured and read recalibrate the ladder: a pigment's colour changes when it is poured into another wine.",
		example:     calc.ExampleLadder,
	}, calc.Ladder)
	plot(s, api, operation{
		id: "ladder-plot", path: "/v1/ladder/plot", summary: "A ladder as a picture",
		description: "The ladder drawn: its path in the a*b* plane, L* and the difference against the dose, and swatches. The header Accept chooses image/svg+xml (also for */*), image/png or application/pdf.",
		example:     calc.ExampleLadder,
		errors:      []int{http.StatusNotAcceptable},
	})
	calculation(s, api, operation{
		id: "match", path: "/v1/match", summary: "The blend closest to a target",
		description: "The volume fractions of some wines whose blend comes closest to a target, within limits. Where several blends come as close, the one with the most of the first wine is given.",
		example:     calc.ExampleMatch,
	}, calc.Match)
	calculation(s, api, operation{
		id: "scale", path: "/v1/scale", summary: "Volumes for the cellar",
		description: "A dose found in the glass, for a tank of base (the addition comes on top), for a volume of finished blend or for bottles (the addition is part of it). Before pouring, check what local codes and labels allow, and the sulphur dioxide and alcohol of the blend.",
		example:     calc.ExampleScale,
	}, calc.Scale)
	calculation(s, api, operation{
		id: "trim", path: "/v1/trim", summary: "What a tank still needs",
		description: "A tank that got the first part of its addition, was mixed, sampled top and bottom, and read: whether it is mixed, what dose it has by its volumes and samples together, and what must still be poured to reach the target, with the interval of that. Where the target was passed, how much base would bring it back. Nothing can be taken out again.",
		example:     calc.ExampleTrim,
	}, calc.Trim)
	calculation(s, api, operation{
		id: "check", path: "/v1/check", summary: "A wine against a specification",
		description: "Whether a wine conforms to a colour specification. The simple rule compares the values; the guarded rule (JCGM 106) passes a wine only when it conforms with a probability of at least 1 - max_risk, fails it only when that is at most max_risk and a wine on the limit would be found as far outside at most that often, and is inconclusive between. An open verdict names what its uncertainty is made of and what would settle it.",
		example:     calc.ExampleCheck,
	}, calc.Check)
	calculation(s, api, operation{
		id: "feasibility", path: "/v1/feasibility", summary: "Whether any wine could pass a specification",
		description: "Before anything is measured: whether a wine at the best place of a specification, read as its reading_method says, would pass it; if not, what the uncertainty is made of, what would help, and the tolerance that would do.",
		example:     calc.ExampleFeasibility,
	}, calc.Feasibility)
}

// recordPages are where pages begin that have others below them and take forms.
var recordPages = []string{"/trials", "/specs", "/lots", "/charts", "/drift", "/statements", "/instruments", "/imports", "/wines", "/readings", "/panels", access.DevicesPage}

// languagePage takes the form that chooses a language of the pages.
const languagePage = "/language"

// plainRoutes are the service's own calls: what it is, whether it is well, what
// its problems mean, and the pages.
func (s *service) plainRoutes(engine *gin.Engine, document []byte) {
	get := func(at string, handlers ...gin.HandlerFunc) {
		engine.GET(at, handlers...)
		engine.HEAD(at, handlers...)
	}
	engine.POST(importPath, s.importFile)
	engine.GET(exportPath, s.exportFile)
	engine.GET(exportPath+"/:what", s.exportFile)
	get("/openapi.json", func(c *gin.Context) { c.Data(http.StatusOK, "application/json", document) })
	get("/healthz", func(c *gin.Context) { c.JSON(http.StatusOK, gin.H{"status": "up"}) })
	get("/readyz", s.ready)
	get("/metrics", s.metrics.handler())
	get(sheetStyles(), stylesheet)
	for _, k := range kinds {
		get(k.path, k.explain)
	}
	if s.config.Pages != nil {
		pages := gin.WrapH(s.config.Pages)
		get("/", pages)
		engine.POST(languagePage, pages)
		for _, at := range []string{access.PairPage, access.DevicePage, access.JudgePage, access.JudgingPage} {
			get(at, pages)
			engine.POST(at, pages)
		}
		get("/method", pages)
		get("/cautions", pages)
		get(importPage, pages)
		engine.POST(importPage, pages)
		get(importPage+"/:key", pages)
		engine.POST(importPage+"/:key", pages)
		for _, at := range recordPages {
			get(at, pages)
			get(at+"/*path", pages)
			engine.POST(at, pages)
			engine.POST(at+"/*path", pages)
		}
		get("/assets/*path", s.asWritten, pages)
		get("/preview/*path", pages)
		get("/favicon.ico", pages)
	}
}

// asWritten answers that there is nothing at an address that leads elsewhere by its dots or
// slashes: who may ask was decided by how it is written.
func (s *service) asWritten(c *gin.Context) {
	if at := c.Request.URL.Path; path.Clean(at) != at {
		c.Abort()
		s.noRoute(c)
	}
}
