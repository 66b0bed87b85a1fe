package jcampdx

import (
	"bufio"
	"bytes"
	"io"
)

// lineReader hands out the lines of r, ended by LF, CR or CRLF. It holds no
// more than MaxLineBytes of a line.
type lineReader struct {
	r       *bufio.Reader
	number  int // of the line handed out last, from 1
	buf     []byte
	afterCR bool
	err     error
}

func newLineReader(r io.Reader) *lineReader {
	return &lineReader{r: bufio.NewReaderSize(r, 1<<16)}
}

// next returns the next line, valid until the next call, and whether it was
// longer than MaxLineBytes and so cut. The error is that of the reader, io.EOF
// at the end; a last line without an end comes before it.
func (l *lineReader) next() (line []byte, cut bool, err error) {
	l.buf = l.buf[:0]
	started := false
	for {
		if l.err == nil {
			_, l.err = l.r.Peek(1)
		}
		if l.err != nil {
			if started {
				l.number++
				return l.buf, cut, nil
			}
			return nil, false, l.err
		}
		chunk, _ := l.r.Peek(l.r.Buffered()) // what is buffered can be had
		if l.afterCR {
			l.afterCR = false
			if chunk[0] == '\n' {
				l.skip(1)
				continue
			}
		}
		started = true
		end := bytes.IndexAny(chunk, "\r\n")
		part := chunk
		if end >= 0 {
			part = chunk[:end]
		}
		if room := MaxLineBytes - len(l.buf); len(part) > room {
			part, cut = part[:room], true
		}
		l.buf = append(l.buf, part...)
		if end < 0 {
			l.skip(len(chunk))
			continue
		}
		l.afterCR = chunk[end] == '\r'
		l.skip(end + 1)
		l.number++
		return l.buf, cut, nil
	}
}

// skip drops n bytes that are buffered, which cannot fail.
func (l *lineReader) skip(n int) { _, _ = l.r.Discard(n) }
