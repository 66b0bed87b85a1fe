package reports

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// The wine-tasting glass of ISO 3591:1977, in mm. From memory: rim 46 ± 2, cup
// 100 ± 2 high and 65 ± 2 at its widest (outside), wall 0.8 ± 0.1, stem with foot
// 55 ± 3 high, stem 9 ± 1 thick, foot 65 ± 5 wide, brimful 215 ± 10 mL, filled
// with 50 mL; two secondary copies agree with the nominal figures of rim, cup,
// stem, foot and brim. The thickness of the bottom and the height of the widest
// place are chosen: they make 215 mL brimful, and 50 mL come up to about the
// widest place (common practice, no source).
const (
	cupRadius   = 65.0 / 2
	cupHigh     = 100.0
	cupRim      = 46.0 / 2
	wallThick   = 0.8
	bottomThick = 5.0
	widestHigh  = 32.0 // above the inner bottom
	stemHigh    = 55.0 // with the foot
	stemRadius  = 9.0 / 2
	footRadius  = 65.0 / 2

	wineMM3 = 50e3
)

// bowl is a vessel of revolution: the lower part of an ellipsoid and, from where
// the two touch, a cone that narrows to the rim. Heights are along its axis from
// its bottom.
type bowl struct {
	radius, widest float64 // at the widest place, and how high that is: the ellipse's semi-axes
	rim, high      float64 // radius and height of the rim
	jointR, jointZ float64 // where ellipsoid and cone touch
}

func newBowl(radius, widest, rim, high float64) bowl {
	// The tangent from the rim to the ellipse, which the semi-axes make a unit
	// circle.
	r, z := rim/radius, (high-widest)/widest
	sin, cos := math.Sincos(math.Atan2(z, r) - math.Acos(1/math.Hypot(r, z)))
	return bowl{radius, widest, rim, high, radius * cos, widest + widest*sin}
}

func innerBowl() bowl {
	return newBowl(cupRadius-wallThick, widestHigh, cupRim-wallThick, cupHigh-bottomThick)
}

func outerBowl() bowl {
	return newBowl(cupRadius, widestHigh+bottomThick, cupRim, cupHigh)
}

// at is the radius at a height.
func (b bowl) at(z float64) float64 {
	if z > b.jointZ {
		return b.jointR + (b.rim-b.jointR)*(z-b.jointZ)/(b.high-b.jointZ)
	}
	v := (z - b.widest) / b.widest
	return b.radius * math.Sqrt(max(0, 1-v*v))
}

// lean turns the glass about the middle of its inner bottom, clockwise for the
// reader. In the plane of symmetry, r is the distance from the axis (negative to
// the left) and z the height along it; x is to the right and y up.
type lean struct{ sin, cos float64 }

func leanBy(radians float64) lean {
	sin, cos := math.Sincos(radians)
	return lean{sin, cos}
}

func (l lean) place(r, z float64) (x, y float64) { return r*l.cos + z*l.sin, z*l.cos - r*l.sin }

// within is the inverse of place.
func (l lean) within(x, y float64) (r, z float64) { return x*l.cos - y*l.sin, x*l.sin + y*l.cos }

// tipped is a leaning bowl. Up to a lean of 45°, wine of 50 mL has its left rim on
// the ellipsoid, below the widest place, so that the whole of its surface has
// glass beneath it and none above.
type tipped struct {
	bowl
	lean
}

// rims are where a horizontal line meets the inner wall.
func (t tipped) rims(y float64) (left, right float64) {
	// The leaning ellipse is uu·u² + 2·uv·u·v + vv·v² = 1, with u to the right
	// and v up from its centre.
	across, along := 1/(t.radius*t.radius), 1/(t.widest*t.widest)
	uu := t.cos*t.cos*across + t.sin*t.sin*along
	uv := t.sin * t.cos * (along - across)
	vv := t.sin*t.sin*across + t.cos*t.cos*along
	x, v := t.place(0, t.widest)
	v = y - v
	half := math.Sqrt(max(0, uv*uv*v*v-uu*(vv*v*v-1)))
	left, right = x+(-uv*v-half)/uu, x+(-uv*v+half)/uu
	if jointX, jointY := t.place(t.jointR, t.jointZ); y > jointY {
		rimX, rimY := t.place(t.rim, t.high)
		right = jointX + (y-jointY)*(rimX-jointX)/(rimY-jointY)
	}
	return left, right
}

// lowest is the lowest place inside.
func (t tipped) lowest() (x, y float64) {
	across, along := t.radius*t.radius, t.widest*t.widest
	down := math.Sqrt(across*t.sin*t.sin + along*t.cos*t.cos)
	x, y = t.place(0, t.widest)
	return x + (across-along)*t.sin*t.cos/down, y - down
}

// volume of wine with its surface at y, in mm³: slices across the axis of the
// glass, full discs up to the left rim of the wine, and above that the segments of
// discs that the surface cuts off.
func (t tipped) volume(y float64) float64 {
	const points = 32 // of each part
	left, right := t.rims(y)
	full, top := left*t.sin+y*t.cos, right*t.sin+y*t.cos
	disc := func(z float64) float64 { r := t.at(z); return math.Pi * r * r }
	v := quad.Fixed(disc, 0, full, points, quad.Legendre{}, 0)
	segment := func(z float64) float64 {
		r := t.at(z)
		d := min(max((z*t.cos-y)/t.sin, -r), r) // from the axis to the surface
		return r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d)
	}
	for _, part := range [][2]float64{{full, min(top, t.jointZ)}, {t.jointZ, top}} {
		if part[0] < part[1] {
			v += quad.Fixed(segment, part[0], part[1], points, quad.Legendre{}, 0)
		}
	}
	return v
}

// surface is the y at which the bowl holds its wine.
func (t tipped) surface() float64 {
	// The bowl holds less when the surface passes through the middle of its
	// bottom, and more when it passes through the centre of the ellipsoid.
	low, high := 0.0, t.widest*t.cos
	for range 48 {
		if mid := (low + high) / 2; t.volume(mid) < wineMM3 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
