package pages

import (
	"bytes"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"

	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// statementsView is the register of statements.
type statementsView struct {
	frame
	Items        []statementRow
	First, Last  int // lowest and highest number on the page
	Whole        bool
	Damaged      []statementRow
	Older, Newer string
}

// statementRow is one statement of the register.
type statementRow struct {
	No           int
	LotID, Lot   string
	Verdict      string
	Spec         string
	SpecVersion  int
	IssuedBy     string
	Issued       moment
	SHA256       string
	Fault        english
	Readable     bool // what it says can be read
	ShortenedSum string
}

// beforeField is where a page of the register begins.
const beforeField = "before"

// statements answers with the register, the newest statement first.
func (s *site) statements(r *http.Request) (document, error) {
	before := 0
	if typed := r.URL.Query().Get(beforeField); typed != "" {
		var err error
		if before, err = strconv.Atoi(typed); err != nil || before < 1 {
			return document{}, errNothingHere
		}
	}
	list, err := s.release.Register(r.Context(), before, leafRows)
	if err != nil {
		return document{}, err
	}
	v := statementsView{frame: s.frame(r, "statements")}
	for _, e := range list {
		row := statementRowOf(e)
		v.Items = append(v.Items, row)
		if row.Fault != "" {
			v.Damaged = append(v.Damaged, row)
		}
	}
	if n := len(v.Items); n > 0 {
		v.First, v.Last = v.Items[n-1].No, v.Items[0].No
		v.Whole = v.First == 1 && before == 0
		if v.First > 1 {
			v.Older = "/statements?" + url.Values{beforeField: {strconv.Itoa(v.First)}}.Encode()
		}
		if before > 0 {
			v.Newer = "/statements?" + url.Values{beforeField: {strconv.Itoa(before + leafRows)}}.Encode()
		}
	}
	return s.render("statements.html", v)
}

func statementRowOf(e release.Entry) statementRow {
	return statementRow{
		No: e.No, LotID: e.LotID, Lot: e.Says.Lot.Name, Verdict: e.Says.Verdict.Verdict, Spec: specName(e.Says.Spec), SpecVersion: e.Says.Spec.Version,
		IssuedBy: e.Says.IssuedBy, Issued: momentOf(e.IssuedAt), SHA256: e.SHA256, Fault: english(e.Fault), Readable: e.Says.Lot.Name != "",
		ShortenedSum: fmt.Sprintf("%.16s…", e.SHA256),
	}
}

// statementView is one statement: what it comes to, its place in the register,
// and the way to its document.
type statementView struct {
	frame
	statementRow
	Previous string
	Paper    sheet.Statement
	Finding  string
	SVG      drawn
	Save     savedPicture
	Parts    []statementPart
	Limits   english
}

// statementPart is the sample's place in a part of the specification.
type statementPart struct {
	Quantity                            string
	Value, U, Lower, Upper, Probability digits
}

// statement answers with a statement of the register, or with what is wrong with
// it.
func (s *site) statement(r *http.Request) (document, error) {
	no, err := strconv.Atoi(r.PathValue("no"))
	if err != nil {
		return document{}, record.ErrNotFound
	}
	e, err := s.release.Registered(r.Context(), no)
	if err != nil {
		return document{}, err
	}
	v := statementView{frame: s.frame(r, "statements"), statementRow: statementRowOf(e), Previous: e.Previous, Limits: english(e.Says.Limits)}
	if e.Fault != "" {
		return s.render("statement.html", v)
	}
	if v.Paper, err = release.Paper(e.Statement, s.papers); err != nil {
		return document{}, err
	}
	finding, err := v.Paper.Finding(s.papers)
	if err != nil {
		return document{}, err
	}
	v.Finding = finding
	drawing, err := s.statementFigure(v.Paper).Drawing()
	if err != nil {
		return document{}, err
	}
	var svg bytes.Buffer
	if err := drawing.WriteInlineSVG(&svg); err != nil {
		return document{}, err
	}
	v.SVG = drawn(svg.String())
	v.Save = savedAt("/statements/"+strconv.Itoa(no)+"/tolerance", nil, statementFile(no))
	for _, p := range v.Paper.Parts {
		v.Parts = append(v.Parts, statementPartOf(p))
	}
	return s.render("statement.html", v)
}

// statementFile is the name of the files that a statement's picture is saved as.
func statementFile(no int) string { return fileName("tolerance", "statement", strconv.Itoa(no)) }

func (s *site) statementFigure(p sheet.Statement) reports.ToleranceFigure {
	return reports.ToleranceFigure{Title: s.words.Texts["statement.place"], Parts: p.Parts, Version: p.Version, Texts: &s.papers.Figures}
}

// statementPicture draws the picture of a statement alone.
func (s *site) statementPicture(r *http.Request) (document, error) {
	no, err := strconv.Atoi(r.PathValue("no"))
	if err != nil {
		return document{}, record.ErrNotFound
	}
	e, err := s.release.Registered(r.Context(), no)
	if err != nil {
		return document{}, err
	}
	if e.Fault != "" {
		return document{}, record.ErrDamaged
	}
	paper, err := release.Paper(e.Statement, s.papers)
	return picturedOf(r, s.statementFigure(paper), err, statementFile(no))
}

func statementPartOf(p reports.PartMark) statementPart {
	decimals := 2
	if p.U > 0 {
		decimals = min(4, max(0, 1-int(math.Floor(math.Log10(p.U))))) // two digits of the uncertainty
	}
	limit := func(v float64) digits {
		if math.IsInf(v, 0) {
			return "–"
		}
		return plain(v)
	}
	out := statementPart{Quantity: p.Quantity, Value: fixed(p.Value, decimals), U: "–", Lower: limit(p.Lower), Upper: limit(p.Upper), Probability: "–"}
	if p.Unit != "" {
		out.Quantity += ", " + p.Unit
	}
	if p.U > 0 {
		out.U = fixed(math.Max(p.U, math.Pow10(-decimals)), decimals)
	}
	if p.Probability != nil {
		switch out.Probability = fixed(*p.Probability, 3); out.Probability { // nothing is certain
		case "1.000":
			out.Probability = "> 0.999"
		case "0.000":
			out.Probability = "< 0.001"
		}
	}
	return out
}
