package api

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"net/http"
	"reflect"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"pourpath/api/calc"
	"pourpath/api/celltext"
	"pourpath/api/record"
	"pourpath/api/upload"
)

// importPath is where files are sent to, and importPage the page that takes them.
const (
	importPath = "/v1/imports"
	importPage = "/import"
)

// importFile takes a file. It is not described to the schema library, which
// would have it in memory whole.
func (s *service) importFile(c *gin.Context) {
	imported, err := s.takeUpload(c)
	if err != nil {
		s.writeRecordProblem(c, err)
		return
	}
	body, err := encode(imported)
	if err != nil {
		write(c, s.problem(err))
		return
	}
	status := http.StatusOK
	if imported.Accepted > 0 && !imported.DryRun {
		status = http.StatusCreated
		c.Header("Location", "/v1/imports/"+imported.ID)
	}
	c.Data(status, "application/json", body)
}

func (s *service) takeUpload(c *gin.Context) (imported record.Import, err error) {
	up, err := upload.Receive(c.Writer, c.Request, s.config.DataDir)
	defer func() { err = errors.Join(err, up.Close()) }()
	if err != nil {
		return imported, err
	}
	return up.Import(c.Request.Context(), s.config.Records)
}

// importDescription describes the import to readers of the interface.
func importDescription(api huma.API) {
	answer := api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[record.Import](), true, "")
	responses := map[string]*huma.Response{}
	for status, words := range map[string]string{"200": "Nothing was added: a dry run, or all of it was there.", "201": "Readings were added."} {
		responses[status] = &huma.Response{Description: words, Content: map[string]*huma.MediaType{"application/json": {Schema: answer}}}
	}
	problem := api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[calc.Problem](), true, "")
	for _, k := range []kind{kindMalformed, kindForeignOrigin, kindTimeout, kindTooLarge, kindMediaType, kindForeignHost, kindInvalid, kindUnavailable, kindFull} {
		responses[strconv.Itoa(k.status)] = problemResponse(k, problem)
	}
	flag := func(words string) *huma.Schema {
		return &huma.Schema{Type: huma.TypeString, Enum: []any{"true", "false"}, Description: words}
	}
	api.OpenAPI().AddOperation(&huma.Operation{
		Method: http.MethodPost, Path: "/v1/imports", OperationID: "import-file", Tags: []string{tagRecords}, Summary: "Import a laboratory's file",
		Description: "CSV, TSV, XLSX or JCAMP-DX with readings of one wine or many. Each reading ends accepted, duplicate or rejected with the place and what would be right; a bad one does not block good ones. The same file again changes nothing.",
		RequestBody: &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{"multipart/form-data": {Schema: &huma.Schema{
			Type: huma.TypeObject, Required: []string{"file"},
			Properties: map[string]*huma.Schema{
				"file":           {Type: huma.TypeString, Format: "binary", Description: "The file, up to 2 GiB."},
				"sheet":          {Type: huma.TypeString, Description: "Sheet of a workbook; the first where left out."},
				"mapping":        {Type: huma.TypeString, Description: "JSON object from header to field, remembered for files with the same header."},
				"columns":        {Type: huma.TypeString, Description: "The mapping as a person types it: a line HEADER=FIELD for each column."},
				"no_header":      flag("true for a table that begins with a reading: its columns are named column A, column B and so on."),
				"corrections":    {Type: huma.TypeString, Description: "JSON list of cells that are to be read as something else, and of rows that are left out on purpose: [{\"row\": 7, \"column\": \"DO 520\", \"to\": \"0.142\"}, {\"row\": 9, \"leave_out\": true}]. The file is kept as it came, and the import tells what was corrected from what."},
				"dry_run":        flag("true answers what would happen and changes nothing."),
				"all_or_nothing": flag("true takes nothing where one reading is rejected."),
			},
		}}}},
		Responses: responses,
	})
}

type rowsOf struct {
	ByID
	Listing
	Status string `query:"status" doc:"Only rows of which this became: accepted, duplicate or rejected."`
}

// importCalls are the calls about imports that were made.
func (s *service) importCalls(api huma.API) {
	importDescription(api)
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/imports", id: "list-imports", tag: tagRecords, summary: "List imports",
		description: "What became of the files that were sent, without their rows.",
		answer:      reflect.TypeFor[listOf[record.Import]](), handle: s.listImports,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/imports/{id}", id: "import", tag: tagRecords, summary: "One import",
		description: "What became of a file, with the first 1000 rows.",
		answer:      reflect.TypeFor[record.Import](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			i, err := s.config.Records.FindImport(ctx, in.ID)
			if err != nil {
				return nil, err
			}
			return jsonReply(i, 0)
		},
	})
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/imports/{id}/undo", id: "undo-import", tag: tagRecords, summary: "Undo an import",
		description: "Archives the readings that a file added, with the reason, and the wines that it added and that nothing else uses; all or nothing. Nothing is deleted, and the same file can be brought in again. What rests on the readings (a correction, a trial, a lot, a statement) keeps what it copied and is told as resting. Undone twice is undone once.",
		body:        reflect.TypeFor[record.ImportUndoBody](), example: `{"reason": "the file of another winery"}`,
		answer: reflect.TypeFor[record.Import](),
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			why, err := calc.DecodeWhole[record.ImportUndoBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			if err := s.config.Records.UndoImport(ctx, in.ID, why.Reason); err != nil {
				return nil, err
			}
			i, err := s.config.Records.FindImport(ctx, in.ID)
			return foundReply(i, err)
		},
	})
	registerRecord(s, api, recordOp[rowsOf]{
		method: http.MethodGet, path: "/v1/imports/{id}/rows", id: "import-rows", tag: tagRecords, summary: "The rows of an import",
		description: "What became of each reading of the file, in its order.",
		answer:      reflect.TypeFor[listOf[record.ImportRow]](), handle: s.importRows,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/imports/{id}/rejected", id: "import-rejected", tag: tagRecords, summary: "The rejected rows as a file",
		description: "The rejected rows as CSV with the header of the file and why each was rejected: correct them and send the file as an import of its own. The column with the reason is left out then.",
		media:       "text/csv", handle: s.rejectedRows,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/imports/{id}/file", id: "import-original", tag: tagRecords, summary: "The file as it was sent",
		description: "Byte for byte.",
		media:       "application/octet-stream", handle: s.originalFile,
	})
}

func (s *service) listImports(ctx context.Context, in *Listing) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	list, err := s.config.Records.Imports(ctx, p)
	if err != nil {
		return nil, err
	}
	for i := range list {
		list[i].Rows = []record.ImportRow{}
	}
	return jsonReply(paged(list, limit, func(i record.Import) string { return i.ID }), 0)
}

func (s *service) importRows(ctx context.Context, in *rowsOf) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	after := 0
	if in.Cursor != "" {
		if after, err = strconv.Atoi(in.Cursor); err != nil {
			return nil, calc.Refuse(calc.Fault{Message: "cursor: want what the page before gave as next", Value: in.Cursor})
		}
	}
	switch record.Status(in.Status) {
	case "", record.Accepted, record.Duplicate, record.Rejected:
	default:
		return nil, calc.Refuse(calc.Fault{Message: "status: want accepted, duplicate or rejected", Value: in.Status})
	}
	if _, err := s.config.Records.FindImport(ctx, in.ID); err != nil {
		return nil, err
	}
	rows, err := s.config.Records.ImportRows(ctx, in.ID, after, record.Status(in.Status), p.Limit+1)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(rows, p.Limit, func(r record.ImportRow) string { return strconv.Itoa(r.Row) }), 0)
}

// rejectedRows writes rejected rows so that they can be mended in a spreadsheet.
func (s *service) rejectedRows(ctx context.Context, in *ByID) (*reply, error) {
	i, err := s.config.Records.FindImport(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	var file bytes.Buffer
	w := csv.NewWriter(&file)
	rows := [][]string{append([]string{problemColumn}, i.Header...)}
	for after := 0; ; {
		page, err := s.config.Records.ImportRows(ctx, in.ID, after, record.Rejected, 1000)
		if err != nil {
			return nil, err
		}
		if len(page) == 0 {
			break
		}
		for _, r := range page {
			cells := []string{celltext.Guard(why(r))}
			for _, cell := range r.Raw {
				cells = append(cells, guarded(cell))
			}
			rows = append(rows, cells)
			after = r.Row
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("api: rejected rows: %w", err)
	}
	return &reply{ContentType: "text/csv; charset=utf-8", Body: file.Bytes()}, nil
}

// guarded is a cell of another's file for a spreadsheet: what may be a formula
// and is no number is guarded. An import takes the guard off.
func guarded(cell string) string {
	if _, err := strconv.ParseFloat(strings.Replace(cell, ",", ".", 1), 64); err == nil {
		return cell
	}
	return celltext.Guard(cell)
}

// problemColumn heads the reasons in a file of rejected rows; an import leaves
// columns that it does not know out.
const problemColumn = "why it was not taken"

func why(r record.ImportRow) string {
	text := r.Place
	for _, f := range r.Problem.Errors {
		text += "; " + f.Location + ": " + f.Message
	}
	return text
}

func (s *service) originalFile(ctx context.Context, in *ByID) (*reply, error) {
	i, err := s.config.Records.FindImport(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	var file bytes.Buffer
	if err := s.config.Records.ReadFile(ctx, i.SHA256, &file); err != nil {
		return nil, err
	}
	return &reply{ContentType: "application/octet-stream", Body: file.Bytes()}, nil
}
