package reports

import (
	"math"
	"strconv"
)

// glassFrame is the rectangle of a drawing, with room for the line that draws the
// glass: left and top are the x and the y that are nought in the drawing.
type glassFrame struct{ left, top, width, height float64 }

// framed is the frame of a glass that stands or leans to the right. It has the
// height of the standing glass, whatever the lean, and the lowest place of the foot
// is where the standing glass has its foot; so drawings shown equally high have one
// scale.
func framed(l lean) glassFrame {
	const margin = 1.0
	height := cupHigh + stemHigh + 2*margin
	left, _ := l.place(-footRadius, ground)
	right, bottom := l.place(footRadius, ground)
	rim, _ := l.place(cupRim, cupHigh-bottomThick)
	return glassFrame{
		left: left - margin, top: bottom - margin + height,
		width: hundredths(max(right, rim) - left + 2*margin), height: height,
	}
}

// ground is the height of what the glass stands on, from its inner bottom.
const ground = -stemHigh - bottomThick

// outline is the section of the glass: from the left rim down its outside, around
// the foot, up to the right rim and back along its inside. The standard's figures
// fix how high and thick stem and foot are; their curves are the drawing's own.
func (f filled) outline(frame glassFrame) string {
	const (
		bowlEnds  = 14.0 // radius where the bowl turns into the stem
		stemTop   = -21.0
		stemFoot  = -43.0
		footRises = -58.4
	)
	b := outerBowl()
	v := bowlEnds / b.radius
	endZ := b.widest*(1-math.Sqrt(1-v*v)) - bottomThick
	slope := b.widest / b.radius * v / math.Sqrt(1-v*v)
	p := glassPath{lean: f.lean, frame: frame}
	p.to("M", -b.rim, f.high)
	p.to("L", -b.jointR, b.jointZ-bottomThick)
	p.arc(b, " 0 0", -bowlEnds, endZ)
	p.to("C", -bowlEnds+6, endZ-6*slope, -stemRadius, stemTop+11, -stemRadius, stemTop)
	p.to("L", -stemRadius, stemFoot)
	p.to("C", -stemRadius, -54, -11, -55.8, -footRadius, footRises)
	p.to("L", -footRadius, ground, footRadius, ground, footRadius, footRises)
	p.to("C", 11, -55.8, stemRadius, -54, stemRadius, stemFoot)
	p.to("L", stemRadius, stemTop)
	p.to("C", stemRadius, stemTop+11, bowlEnds-6, endZ-6*slope, bowlEnds, endZ)
	p.arc(b, " 0 0", b.jointR, b.jointZ-bottomThick)
	p.to("L", b.rim, f.high, f.rim, f.high, f.jointR, f.jointZ)
	p.arc(f.bowl, " 1 1", -f.jointR, f.jointZ)
	p.to("L", -f.rim, f.high)
	return string(append(p.data, 'Z'))
}

// wine is the area from rim to rim of the wine along the inner wall, and back
// along the surface.
func (f filled) wine(frame glassFrame, left, right float64) string {
	p := glassPath{lean: f.lean, frame: frame}
	r, z := f.within(left, f.surface)
	p.to("M", r, z)
	if r, z = f.within(right, f.surface); z > f.jointZ {
		p.arc(f.bowl, " 0 0", f.jointR, f.jointZ)
		p.to("L", r, z)
	} else {
		p.arc(f.bowl, " 0 0", r, z)
	}
	return string(append(p.data, 'Z'))
}

// glassPath writes SVG path data in mm from places in the glass.
type glassPath struct {
	lean
	frame glassFrame
	data  []byte
}

// to goes to, or by, places given by radius and height.
func (p *glassPath) to(command string, places ...float64) {
	p.data = append(p.data, command...)
	for i := 0; i < len(places); i += 2 {
		x, y := p.place(places[i], places[i+1])
		p.numbers(x-p.frame.left, p.frame.top-y)
	}
}

// arc goes along the ellipse of a bowl. The flags are SVG's large-arc and sweep;
// without sweep it goes anticlockwise for the reader.
func (p *glassPath) arc(b bowl, flags string, r, z float64) {
	p.data = append(p.data, 'A')
	p.numbers(b.radius, b.widest, math.Atan2(p.sin, p.cos)*180/math.Pi)
	p.to(flags, r, z)
}

func (p *glassPath) numbers(values ...float64) {
	for _, v := range values {
		if last := p.data[len(p.data)-1]; '0' <= last && last <= '9' {
			p.data = append(p.data, ' ')
		}
		p.data = strconv.AppendFloat(p.data, hundredths(v), 'f', -1, 64)
	}
}

// hundredths rounds to 0.01 mm, finer than any screen or printer shows.
func hundredths(mm float64) float64 { return math.Round(100*mm) / 100 }
