package labfile

import "io"

func (f *File) openXLSX(r io.ReaderAt, size int64, o Options) error { return refuse("xlsx: under way") }
