package pages

import (
	"encoding/json"
	"net/http"
	"strconv"

	"pourpath/api/record"
)

// statementsView is the register of statements.
type statementsView struct {
	frame
	Page  string
	Items []statementRow
	Next  string // address of those after these; empty at the end
}

// statementRow is a statement of the register.
type statementRow struct {
	No                                    int
	LotID, Lot, Verdict, IssuedBy, SHA256 string
	At                                    moment
}

func statementRowOf(st record.Statement) statementRow {
	out := statementRow{No: st.No, LotID: st.LotID, SHA256: st.SHA256, At: momentOf(st.IssuedAt)}
	var c record.StatementContent
	if json.Unmarshal(st.Content, &c) == nil { // the store has confirmed its checksum
		out.Lot, out.Verdict, out.IssuedBy = c.Lot.Name, c.Verdict.Verdict, c.IssuedBy
	}
	return out
}

// statements answers with the register, in the order of its numbers.
func (s *site) statements(r *http.Request) (document, error) {
	after := 0
	if typed := r.URL.Query().Get("after"); typed != "" {
		var err error
		if after, err = strconv.Atoi(typed); err != nil || after < 0 {
			return document{}, errNothingHere
		}
	}
	list, err := s.config.Records.Statements(r.Context(), "", after, leafRows+1)
	if err != nil {
		return document{}, err
	}
	v := statementsView{frame: s.frame("lots"), Page: "statements"}
	if len(list) > leafRows {
		list = list[:leafRows]
		v.Next = "/statements?after=" + strconv.Itoa(list[leafRows-1].No)
	}
	for _, st := range list {
		v.Items = append(v.Items, statementRowOf(st))
	}
	return s.render("statements.html", v)
}
