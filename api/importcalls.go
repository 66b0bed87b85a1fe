package api

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"reflect"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"pourpath/api/calc"
	"pourpath/api/intake"
	"pourpath/api/record"
)

// importPath is where files are sent to.
const importPath = "/v1/imports"

const (
	// maxFileBytes is the longest file that is taken.
	maxFileBytes = 2 << 30
	// maxFieldBytes is the longest other part of an upload.
	maxFieldBytes = 1 << 20
	// pieceWithin is how long each part of an upload may take to arrive, and
	// importWithin the work on it.
	pieceWithin  = 30 * time.Second
	importWithin = 30 * time.Minute
)

// upload is what came with an import.
type upload struct {
	file *os.File
	name string
	intake.Options
}

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
	up, err := s.receive(c)
	if up.file != nil {
		defer func() { err = errors.Join(err, up.file.Close(), os.Remove(up.file.Name())) }()
	}
	if err != nil {
		return imported, err
	}
	if err := http.NewResponseController(c.Writer).SetWriteDeadline(time.Now().Add(importWithin)); err != nil {
		return imported, fmt.Errorf("api: import: %w", err)
	}
	return intake.Take(c.Request.Context(), s.config.Records, up.name, up.file, up.Options)
}

// receive reads the parts of an upload; the file goes to disk.
func (s *service) receive(c *gin.Context) (up upload, err error) {
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxFileBytes+(1<<20))
	parts, err := c.Request.MultipartReader()
	if err != nil {
		return up, kindMediaType.problem("an import is a form with the file in the field \"file\": send the header Content-Type: multipart/form-data")
	}
	fields := map[string]string{}
	for _, name := range []string{"sheet", "mapping", "dry_run", "all_or_nothing"} {
		if value, ok := c.GetQuery(name); ok {
			fields[name] = value
		}
	}
	slow := http.NewResponseController(c.Writer)
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return up, cutOff(err)
		}
		switch name := part.FormName(); name {
		case "file":
			if up.file != nil {
				return up, calc.Refuse(calc.Fault{Location: "/file", Message: "two files stand in one request: send them one by one"})
			}
			up.name = part.FileName()
			if up.file, err = s.spool(part, slow); err != nil {
				return up, err
			}
		case "sheet", "mapping", "dry_run", "all_or_nothing":
			value, err := io.ReadAll(io.LimitReader(part, maxFieldBytes))
			if err != nil {
				return up, cutOff(err)
			}
			fields[name] = string(value)
		default:
			return up, calc.Refuse(calc.Fault{Location: "/" + name, Message: "unknown field; known here: file, sheet, mapping, dry_run, all_or_nothing", Value: name})
		}
	}
	if up.file == nil {
		return up, calc.Refuse(calc.Fault{Location: "/file", Message: "the field \"file\" is missing"})
	}
	return up, up.read(fields)
}

// read takes the fields that say how the file is to be taken.
func (up *upload) read(fields map[string]string) error {
	var faults []calc.Fault
	up.Sheet = fields["sheet"]
	for name, to := range map[string]*bool{"dry_run": &up.DryRun, "all_or_nothing": &up.AllOrNothing} {
		switch value := fields[name]; value {
		case "true", "1":
			*to = true
		case "", "false", "0":
		default:
			faults = append(faults, calc.Fault{Location: "/" + name, Message: "want true or false", Value: value})
		}
	}
	if text := fields["mapping"]; text != "" {
		if err := json.Unmarshal([]byte(text), &up.Mapping); err != nil {
			faults = append(faults, calc.Fault{Location: "/mapping", Message: "want a JSON object from header to field, such as {\"Ext. 520\": \"a520\"}", Value: text})
		}
	}
	if len(faults) > 0 {
		return calc.Refuse(faults...)
	}
	return nil
}

// spool writes the file that arrives to the data folder, so that it is whole
// before anything is done with it.
func (s *service) spool(part *multipart.Part, slow *http.ResponseController) (*os.File, error) {
	file, err := os.CreateTemp(s.config.DataDir, ".upload-*")
	if err != nil {
		return nil, fmt.Errorf("api: import: %w", errors.Join(err, fullIf(err)))
	}
	size := int64(0)
	for {
		if err := slow.SetReadDeadline(time.Now().Add(pieceWithin)); err != nil {
			return file, fmt.Errorf("api: import: %w", err)
		}
		n, err := io.CopyN(file, part, 1<<20)
		size += n
		if errors.Is(err, io.EOF) {
			break
		}
		if full := fullIf(err); full != nil {
			return file, full
		}
		if err != nil {
			return file, cutOff(err)
		}
		if size > maxFileBytes {
			return file, tooLongFile()
		}
	}
	_, err = file.Seek(0, io.SeekStart)
	return file, err
}

func tooLongFile() error {
	return kindTooLarge.problem("a file may have up to %d bytes; send it in parts", int64(maxFileBytes))
}

// cutOff is the problem of an upload that did not come to its end.
func cutOff(err error) error {
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge):
		return tooLongFile()
	case errors.Is(err, os.ErrDeadlineExceeded):
		return kindTimeout.problem("the upload stopped for more than %s; nothing of it was kept: send it again", pieceWithin)
	}
	return kindMalformed.problem("the upload did not come to its end, and nothing of it was kept: send it again")
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
				"dry_run":        flag("true answers what would happen and changes nothing."),
				"all_or_nothing": flag("true takes nothing where one reading is rejected."),
			},
		}}}},
		Responses: responses,
	})
}

type rowsOf struct {
	byID
	listing
	Status string `query:"status" doc:"Only rows of which this became: accepted, duplicate or rejected."`
}

// importCalls are the calls about imports that were made.
func (s *service) importCalls(api huma.API) {
	importDescription(api)
	registerRecord(s, api, recordOp[listing]{
		method: http.MethodGet, path: "/v1/imports", id: "list-imports", tag: tagRecords, summary: "List imports",
		description: "What became of the files that were sent, without their rows.",
		answer:      reflect.TypeFor[listOf[record.Import]](), handle: s.listImports,
	})
	registerRecord(s, api, recordOp[byID]{
		method: http.MethodGet, path: "/v1/imports/{id}", id: "import", tag: tagRecords, summary: "One import",
		description: "What became of a file, with the first 1000 rows.",
		answer:      reflect.TypeFor[record.Import](),
		handle: func(ctx context.Context, in *byID) (*reply, error) {
			i, err := s.config.Records.FindImport(ctx, in.ID)
			if err != nil {
				return nil, err
			}
			return jsonReply(i, 0)
		},
	})
	registerRecord(s, api, recordOp[rowsOf]{
		method: http.MethodGet, path: "/v1/imports/{id}/rows", id: "import-rows", tag: tagRecords, summary: "The rows of an import",
		description: "What became of each reading of the file, in its order.",
		answer:      reflect.TypeFor[listOf[record.ImportRow]](), handle: s.importRows,
	})
	registerRecord(s, api, recordOp[byID]{
		method: http.MethodGet, path: "/v1/imports/{id}/rejected", id: "import-rejected", tag: tagRecords, summary: "The rejected rows as a file",
		description: "The rejected rows as CSV with the header of the file and why each was rejected: correct them and send the file as an import of its own. The column with the reason is left out then.",
		media:       "text/csv", handle: s.rejectedRows,
	})
	registerRecord(s, api, recordOp[byID]{
		method: http.MethodGet, path: "/v1/imports/{id}/file", id: "import-original", tag: tagRecords, summary: "The file as it was sent",
		description: "Byte for byte.",
		media:       "application/octet-stream", handle: s.originalFile,
	})
}

func (s *service) listImports(ctx context.Context, in *listing) (*reply, error) {
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
func (s *service) rejectedRows(ctx context.Context, in *byID) (*reply, error) {
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
			rows = append(rows, append([]string{why(r)}, r.Raw...))
			after = r.Row
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("api: rejected rows: %w", err)
	}
	return &reply{ContentType: "text/csv; charset=utf-8", Body: file.Bytes()}, nil
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

func (s *service) originalFile(ctx context.Context, in *byID) (*reply, error) {
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
