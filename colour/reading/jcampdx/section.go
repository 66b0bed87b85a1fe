package jcampdx

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// field is a value of the file that is kept.
type field struct {
	text string
	line int
}

// kept are the labels whose values are used, as they are compared, each with
// whether a second, different value in a block is a fault.
var kept = map[string]bool{
	"TITLE": false, "JCAMPDX": true, "DATATYPE": true, "DATACLASS": true, "ORIGIN": false,
	"LONGDATE": false, "DATE": false, "TIME": false,
	"SPECTROMETERDATASYSTEM": false, "SPECTROMETER": false, "INSTRUMENT": false,
	"PATHLENGTH": true, "CONCENTRATIONS": false, "BLOCKS": true,
	"XUNITS": true, "YUNITS": true, "XFACTOR": true, "YFACTOR": true, "FIRSTX": true,
	"LASTX": true, "DELTAX": true, "NPOINTS": true, "FIRSTY": true,
}

// section is a block while it is read.
type section struct {
	block    Block
	fields   map[string]field
	link     bool
	children int // blocks of a LINK block
	more     bool

	label string // of the value being read, empty for one that is not kept
	value []byte
	at    int

	head    header
	ready   bool // head was read
	refused bool // a reason was given why the data are not read
	room    int  // most points that may be read
	tables  int
	table   *table
	reading bool // the lines that come are of table
}

func newSection(at int, title []byte, room int) *section {
	return &section{block: Block{Line: at}, fields: map[string]field{}, label: "TITLE", value: slices.Clone(title), at: at, room: room}
}

func (s *section) faultf(line int, format string, args ...any) {
	if len(s.block.Faults) >= MaxFaults {
		s.more = true
		return
	}
	s.block.Faults = append(s.block.Faults, ParseError{Line: line, Message: fmt.Sprintf(format, args...)})
}

// refusef gives a reason why the data of the block are not read. One is
// enough: what follows from it is no news.
func (s *section) refusef(line int, format string, args ...any) {
	if !s.refused {
		s.faultf(line, format, args...)
	}
	s.refused = true
}

// record takes a label and the first line of its value.
func (s *section) record(at int, label string, value []byte) {
	s.flush()
	s.reading = false
	switch label {
	case "XYDATA", "XYPOINTS":
		s.startTable(at, label, value)
	case "PEAKTABLE", "PEAKASSIGNMENTS":
		s.refusef(at, "a peak table holds single peaks, not the spectrum between them: export the scan itself (##XYDATA=)")
	case "NTUPLES", "VARNAME", "PAGE", "DATATABLE":
		s.refusef(at, "NTUPLES blocks are not read: export each spectrum as a block of its own with ##XYDATA=")
	case "JCAMPCS":
		if !s.link {
			s.refusef(at, "the block holds a chemical structure, not a spectrum")
		}
	default:
		if _, ok := kept[label]; ok {
			s.label, s.value, s.at = label, append(s.value[:0], value...), at
		}
	}
}

// goOn takes a further line of the value or of the data table.
func (s *section) goOn(at int, text []byte) {
	switch {
	case s.reading:
		s.table.line(s, at, text)
	case s.label != "" && len(s.value) <= maxTextBytes:
		s.value = append(append(s.value, '\n'), text...)
	}
}

// flush ends the value being read and keeps it.
func (s *section) flush() {
	label := s.label
	if label == "" {
		return
	}
	s.label = ""
	if len(s.value) > maxTextBytes {
		end := maxTextBytes
		for end > 0 && !utf8.RuneStart(s.value[end]) {
			end--
		}
		s.value = s.value[:end]
		s.block.warn("text_cut", fmt.Sprintf("The value of ##%s= at line %d is longer than %d bytes; the rest was left out.", label, s.at, maxTextBytes))
	}
	text := asText(s.value)
	if was, ok := s.fields[label]; ok {
		if kept[label] && was.text != text {
			s.faultf(s.at, "##%s= stands twice in the block: %s here, %s at line %d; keep the right one", label, quoted(text), quoted(was.text), was.line)
		}
		return
	}
	s.fields[label] = field{text, s.at}
	switch label {
	case "TITLE":
		s.block.Title = text
	case "BLOCKS":
		s.link = true
	case "DATATYPE":
		s.link = s.link || normal(text) == "LINK"
	}
}

// named returns the faults in the order of their lines, with the title.
func (s *section) named() ParseErrors {
	for i := range s.block.Faults {
		s.block.Faults[i].Title = s.block.Title
	}
	slices.SortStableFunc(s.block.Faults, func(a, b ParseError) int { return a.Line - b.Line })
	return s.block.Faults
}

// startTable begins the data. The form in the value decides, not the label:
// files write ##XYDATA= (XY..XY) as well.
func (s *section) startTable(at int, label string, value []byte) {
	if s.tables++; s.tables > 1 {
		s.faultf(at, "a second data table stands in the block: give each spectrum a block of its own, from ##TITLE= to ##END=")
		return
	}
	s.prepare(at)
	form := strings.ToUpper(strings.Join(strings.Fields(asText(value)), ""))
	pairs := false
	switch form {
	case "(X++(Y..Y))", "(X++(Y..Y)": // printed without the last bracket in the literature
	case "(XY..XY)":
		pairs = true
	default:
		s.refusef(at, "##%s= has the form %s: (X++(Y..Y)) and (XY..XY) are read", label, quoted(asText(value)))
	}
	s.head.need(s, at, label, pairs)
	if s.refused {
		return
	}
	s.table = newTable(s.head, at, pairs, s.room)
	s.reading = true
}

// finish closes the block at the line of its end.
func (s *section) finish(at int) Block {
	s.prepare(at)
	s.describe()
	switch {
	case s.table != nil:
		s.table.close(s, at)
		s.spectrum()
	case s.tables == 0 && !s.refused:
		s.faultf(at, "the block holds no data: ##XYDATA= (X++(Y..Y)) with the ordinates is needed before ##END=")
	}
	b := &s.block
	b.Faults = s.named()
	if len(b.Faults) > 0 {
		b.NM, b.Ordinates = nil, nil
	}
	if s.more {
		b.warn("faults_cut", fmt.Sprintf("Only the first %d faults of the block are listed.", MaxFaults))
	}
	return *b
}
