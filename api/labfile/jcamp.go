package labfile

import "io"

func (f *File) openJCAMP(r io.ReaderAt, size int64) {}
