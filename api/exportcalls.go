package api

import (
	"errors"
	"fmt"
	"net/http"
	"reflect"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"pourpath/api/calc"
	"pourpath/api/export"
	"pourpath/api/record"
)

// exportPath is where everything is had as a workbook, and, below it, one table.
const exportPath = "/v1/export"

// exportPieceWithin is how long whoever receives an export may take for each
// piece; the whole may take longer than other answers.
const exportPieceWithin = 30 * time.Second

// exportFormats are the forms of an export, by the name that the query takes and
// the file ends with.
var exportFormats = []struct{ name, mediaType string }{
	{"csv", "text/csv"},
	{"xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"},
}

// exportFile answers with records as a file, while they are read. It is not
// described to the schema library, which would have it in memory whole.
func (s *service) exportFile(c *gin.Context) {
	what := export.What(c.Param("what"))
	format, err := exportFormat(c, what == "")
	if what != "" && !what.Known() {
		err = kindNotFound.problem("there is no table %.50q; there are %q", what, export.All())
	}
	if err != nil {
		s.writeRecordProblem(c, err)
		return
	}
	to := &download{c: c, mediaType: exportFormats[format].mediaType, name: "pourpath." + exportFormats[format].name}
	if what != "" {
		to.name = "pourpath-" + string(what) + "." + exportFormats[format].name
	}
	switch {
	case exportFormats[format].name == "csv":
		err = export.CSV(c.Request.Context(), s.config.Records, what, to)
	case what != "":
		err = export.XLSX(c.Request.Context(), s.config.Records, to, what)
	default:
		err = export.XLSX(c.Request.Context(), s.config.Records, to)
	}
	switch {
	case err == nil:
	case to.begun:
		// The status is told already: breaking the connection off tells that
		// the file is not whole.
		s.config.Log.Error("an export broke off", "table", string(what), "error", err)
		panic(http.ErrAbortHandler)
	case errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT): // of temporary files
		s.writeRecordProblem(c, errors.Join(record.ErrFull, err))
	default:
		s.writeRecordProblem(c, err)
	}
}

// exportFormat is the place in exportFormats of the form that is asked for: by
// the query, or else by the header Accept. Everything at once has only the last.
func exportFormat(c *gin.Context, everything bool) (int, error) {
	offered := make([]string, len(exportFormats))
	for i, f := range exportFormats {
		offered[i] = f.mediaType
	}
	first := 0
	if everything {
		first = len(offered) - 1
	}
	if asked, ok := c.GetQuery("format"); ok {
		for i, f := range exportFormats[first:] {
			if f.name == asked {
				return first + i, nil
			}
		}
		if everything && asked == exportFormats[0].name {
			return 0, calc.Refuse(calc.Fault{Message: "format: a CSV file holds one table: ask for it by its name, as at " + exportPath + "/" + string(export.Readings), Value: asked})
		}
		return 0, calc.Refuse(calc.Fault{Message: "format: want csv or xlsx", Value: asked})
	}
	chosen := negotiate(c.GetHeader("Accept"), offered[first:])
	if chosen < 0 {
		return 0, kindNotAcceptable.problem("an export is %s, not %.100q", strings.Join(offered[first:], " or "), c.GetHeader("Accept"))
	}
	return first + chosen, nil
}

// download is an answer that begins with the first piece of its body, so that
// what fails before that is answered as a problem.
type download struct {
	c               *gin.Context
	mediaType, name string
	begun           bool
}

// Write implements io.Writer.
func (d *download) Write(p []byte) (int, error) {
	if !d.begun {
		d.begun = true
		if strings.HasPrefix(d.mediaType, "text/") {
			d.mediaType += "; charset=utf-8"
		}
		d.c.Header("Content-Type", d.mediaType)
		d.c.Header("Content-Disposition", `attachment; filename="`+d.name+`"`)
		d.c.Status(http.StatusOK)
	}
	slow := http.NewResponseController(d.c.Writer)
	if err := slow.SetWriteDeadline(time.Now().Add(exportPieceWithin)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return 0, fmt.Errorf("api: export: %w", err)
	}
	return d.c.Writer.Write(p)
}

// exportCalls describes the exports to readers of the interface.
func (s *service) exportCalls(api huma.API) {
	content := map[string]*huma.MediaType{}
	for _, f := range exportFormats {
		content[f.mediaType] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
	}
	last := exportFormats[len(exportFormats)-1].mediaType
	describeExport(api, huma.Operation{
		Path: exportPath, OperationID: "export-all", Summary: "Everything as a workbook",
		Description: "An XLSX workbook with a sheet for each table. Archived and superseded records are in it, and the column status says so. To move records to another store, take a backup instead.",
	}, map[string]*huma.MediaType{last: content[last]}, []any{"xlsx"})
	tables := make([]any, 0, len(export.All()))
	for _, w := range export.All() {
		tables = append(tables, string(w))
	}
	describeExport(api, huma.Operation{
		Path: exportPath + "/{what}", OperationID: "export", Summary: "One table as CSV or a workbook",
		Description: "All records of one kind. readings (single wavelengths and L*a*b*) and spectra (scans, a column for each wavelength) import again. In CSV, text that a spreadsheet would take for a formula begins with an apostrophe. The query, or else the header Accept, chooses the form; CSV where both leave it open.",
		Parameters: []*huma.Param{{
			Name: "what", In: "path", Required: true, Description: "The table.", Schema: &huma.Schema{Type: huma.TypeString, Enum: tables},
		}},
	}, content, []any{"csv", "xlsx"})
}

func describeExport(api huma.API, op huma.Operation, content map[string]*huma.MediaType, formats []any) {
	op.Method, op.Tags = http.MethodGet, []string{tagRecords}
	op.Parameters = append(op.Parameters, &huma.Param{
		Name: "format", In: "query", Description: "The form of the file.", Schema: &huma.Schema{Type: huma.TypeString, Enum: formats},
	})
	op.Responses = map[string]*huma.Response{"200": {Description: "The file.", Content: content}}
	problem := api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[calc.Problem](), true, "")
	for _, k := range []kind{
		kindForeignOrigin, kindNotFound, kindNotAcceptable, kindForeignHost, kindInvalid, kindInternal, kindUnavailable, kindFull,
	} {
		op.Responses[strconv.Itoa(k.status)] = problemResponse(k, problem)
	}
	api.OpenAPI().AddOperation(&op)
}
