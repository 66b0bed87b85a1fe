package jcampdx

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

// Parse reads a JCAMP-DX file and returns its blocks in the order of the file,
// accepted and rejected ones; LINK blocks, which hold other blocks only, are
// not among them. A fault of one block is in its Faults and costs no other
// block.
//
// The error is about the file as a whole and comes beside the blocks that were
// read: ParseErrors where it is no JCAMP-DX file, goes past a limit or lacks
// blocks that ##BLOCKS= promises, or the error of r, wrapped. The file is read
// once, a line at a time.
func Parse(r io.Reader) ([]Block, error) {
	p := parser{lines: newLineReader(r)}
	for !p.stopped {
		line, cut, err := p.lines.next()
		if err != nil {
			return p.finish(err)
		}
		if p.lines.number == 1 {
			line = p.start(line)
		}
		if !p.stopped {
			p.line(line, cut)
		}
	}
	return p.finish(nil)
}

type parser struct {
	lines   *lineReader
	blocks  []Block
	faults  ParseErrors // of the file
	open    []*section  // LINK blocks and, last, the block being read
	points  int         // of all accepted blocks
	stopped bool
	labels  bool // a labelled data record was seen
}

func (p *parser) faultf(format string, args ...any) {
	if len(p.faults) < MaxFaults {
		p.faults = append(p.faults, ParseError{Line: p.lines.number, Message: fmt.Sprintf(format, args...)})
	}
}

// start looks at the byte order mark of the first line.
func (p *parser) start(line []byte) []byte {
	if bytes.HasPrefix(line, []byte("\xff\xfe")) || bytes.HasPrefix(line, []byte("\xfe\xff")) {
		p.faultf("the file is in UTF-16: save it as plain text (ASCII)")
		p.stopped, p.labels = true, true
	}
	return bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
}

func (p *parser) current() *section {
	if len(p.open) == 0 {
		return nil
	}
	return p.open[len(p.open)-1]
}

// line takes the next line. Of a cut line a label counts, since it may start
// or end a block; its value does not.
func (p *parser) line(raw []byte, cut bool) {
	at := p.lines.number
	text := withoutComment(raw)
	label, value, found, complete := dataRecord(text)
	switch {
	case !found && !cut:
		if s := p.current(); s != nil {
			s.goOn(at, text)
		}
	case complete && label == "TITLE":
		p.begin(at, value)
	case complete && label == "END":
		p.end(at)
	case complete && label == "":
		if s := p.current(); s != nil {
			s.record(at, label, nil) // ##= starts a comment of its own
		}
	case complete:
		if p.current() == nil {
			p.begin(at, nil)
			if p.stopped {
				return
			}
			p.current().faultf(at, "the block has no title: ##TITLE= must be its first label")
		}
		p.current().record(at, label, value)
	}
	p.labels = p.labels || complete
	s := p.current()
	if s == nil {
		return
	}
	if cut {
		s.faultf(at, "the line is longer than %d bytes: break it into lines of 80 characters", MaxLineBytes)
	} else if found && !complete {
		s.faultf(at, "%s starts like a label but has no equals sign: write ##LABEL= value, or $$ before a comment", quoted(asText(text)))
	}
}

// begin opens a block at its title. A block before it that is still open, and
// is no LINK block, has lost its end.
func (p *parser) begin(at int, title []byte) {
	if s := p.current(); s != nil {
		s.flush()
		if !s.link {
			s.faultf(at, "the next block starts before ##END=: the block may be cut short")
			p.end(at)
		}
	}
	if len(p.blocks) >= MaxBlocks {
		p.faultf("the file holds more than %d blocks: split it; the blocks from here on were not read", MaxBlocks)
		p.stopped = true
		return
	}
	if len(p.open) >= maxDepth {
		p.faultf("LINK blocks lie more than %d deep in each other: the blocks from here on were not read", maxDepth-1)
		p.stopped = true
		return
	}
	if s := p.current(); s != nil {
		s.children++
	}
	p.open = append(p.open, newSection(at, title, min(MaxPoints, MaxTotalPoints-p.points)))
}

// end closes the innermost open block. An end too many closes nothing.
func (p *parser) end(at int) {
	s := p.current()
	if s == nil {
		return
	}
	p.open = p.open[:len(p.open)-1]
	s.flush()
	if s.link {
		p.endLink(s)
		return
	}
	b := s.finish(at)
	p.points += len(b.NM)
	p.blocks = append(p.blocks, b)
}

// endLink counts the blocks of a LINK block. Files differ in whether ##BLOCKS=
// counts the LINK block itself, so one more than there are is right too.
func (p *parser) endLink(s *section) {
	wanted, ok := s.number("BLOCKS")
	if ok && wanted.value != float64(s.children) && wanted.value != float64(s.children+1) {
		p.faults = append(p.faults, ParseError{Line: wanted.line, Title: s.block.Title,
			Message: fmt.Sprintf("##BLOCKS= says %g, but %d blocks were found: the file may be cut short", wanted.value, s.children)})
	}
	p.faults = append(p.faults, s.named()...)
	p.faults = p.faults[:min(len(p.faults), MaxFaults)]
}

// finish closes what is open and gives the outcome. cause is why reading
// ended, nil where a limit ended it.
func (p *parser) finish(cause error) ([]Block, error) {
	at := p.lines.number
	for s := p.current(); s != nil; s = p.current() {
		s.flush()
		switch {
		case s.link: // its ##BLOCKS= tells whether blocks are lacking
		case cause != nil && !errors.Is(cause, io.EOF):
			s.faultf(at, "reading failed here, before ##END=")
		default:
			s.faultf(at, "the file ends before ##END=: it may be cut short")
		}
		p.end(at)
	}
	if cause != nil && !errors.Is(cause, io.EOF) {
		return p.blocks, fmt.Errorf("jcampdx: reading after line %d: %w", at, cause)
	}
	if !p.labels {
		p.faultf("no labelled data record such as ##TITLE= was found: this is no JCAMP-DX file")
	}
	return p.blocks, p.faults.Err()
}
