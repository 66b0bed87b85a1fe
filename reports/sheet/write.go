package sheet

import "io"

// source is an input that makes a document.
type source interface {
	check() error
	document(t *Texts) *document
}

// prepare checks an input and its texts before anything is set.
func prepare(s source, texts *Texts) (*document, error) {
	t := English()
	if texts != nil {
		if err := texts.Check(); err != nil {
			return nil, err
		}
		t = *texts
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	return s.document(&t), nil
}

func writePDF(w io.Writer, s source, texts *Texts) error {
	d, err := prepare(s, texts)
	if err != nil {
		return err
	}
	return d.writePDF(w)
}

func writeHTML(w io.Writer, s source, texts *Texts, stylesheet string) error {
	d, err := prepare(s, texts)
	if err != nil {
		return err
	}
	return d.writeHTML(w, stylesheet)
}

// footer says what the document holds for, on every page.
func (d *document) footer() []string {
	if d.Bare {
		return d.Foot
	}
	t, h := d.texts, d.head
	conditions := t.fill(t.Conditions, "illuminant", string(h.View.Illuminant), "observer", string(h.View.Observer), "mm", t.plain(h.View.DepthMM, 2))
	if d.anySwatch() {
		if h.GlassDepthMM > 0 {
			conditions += " " + t.fill(t.SwatchDepths, "mm", t.plain(h.GlassDepthMM, 1))
		} else {
			conditions += " " + t.SwatchDepth
		}
	}
	if h.Conditions != "" {
		conditions += " " + h.Conditions
	}
	if d.Foot != nil {
		return append([]string{conditions}, d.Foot...)
	}
	return []string{conditions, d.convention() + " " + t.Uncertainties, t.Print}
}

// convention says by an example what a dose is.
func (d *document) convention() string {
	const example = 9.5 // mL per 100 mL
	t := d.texts
	return t.fill(t.Convention, "dose", t.plain(example, 1), "share", d.share(Dose{MLPer100ML: example}, 1))
}

func (d *document) anySwatch() bool {
	for _, b := range d.Blocks {
		if b.Table == nil {
			continue
		}
		for _, r := range b.Table.Rows {
			for _, c := range r.Cells {
				if len(c.Swatches) > 0 {
					return true
				}
			}
		}
	}
	return false
}
