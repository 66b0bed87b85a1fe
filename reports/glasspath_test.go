package reports_test

import (
	"math"
	"regexp"
	"strconv"
	"testing"
)

type point struct{ x, y float64 }

var pathToken = regexp.MustCompile(`[A-Za-z]|-?[0-9.]+`)

// flattened is an SVG path as a polygon, its curves cut into chords.
func flattened(t *testing.T, path string) []point {
	t.Helper()
	var points []point
	var command string
	tokens := pathToken.FindAllString(path, -1)
	take := func() float64 {
		t.Helper()
		if len(tokens) == 0 {
			t.Fatalf("path ends in the middle of %q: %s", command, path)
		}
		v, err := strconv.ParseFloat(tokens[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		tokens = tokens[1:]
		return v
	}
	for len(tokens) > 0 {
		if tokens[0] >= "A" {
			command, tokens = tokens[0], tokens[1:]
		}
		switch command {
		case "M", "L":
			points = append(points, point{take(), take()})
		case "C":
			a, b, c := point{take(), take()}, point{take(), take()}, point{take(), take()}
			points = append(points, cubic(points[len(points)-1], a, b, c)...)
		case "A":
			rx, ry, turn, large, sweep := take(), take(), take(), take(), take()
			end := point{take(), take()}
			points = append(points, arc(points[len(points)-1], end, rx, ry, turn, large == 1, sweep == 1)...)
		case "Z":
		default:
			t.Fatalf("path command %q", command)
		}
	}
	return points
}

func cubic(p, a, b, c point) []point {
	const n = 50
	var points []point
	for i := 1; i <= n; i++ {
		u := float64(i) / n
		v := 1 - u
		points = append(points, point{
			v*v*v*p.x + 3*v*v*u*a.x + 3*v*u*u*b.x + u*u*u*c.x,
			v*v*v*p.y + 3*v*v*u*a.y + 3*v*u*u*b.y + u*u*u*c.y,
		})
	}
	return points
}

// arc goes from endpoints to centre as SVG 2, appendix B.2.4 does (from memory).
func arc(from, to point, rx, ry, degrees float64, large, sweep bool) []point {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	dx, dy := (from.x-to.x)/2, (from.y-to.y)/2
	px, py := (cos*dx+sin*dy)/rx, (-sin*dx+cos*dy)/ry // on the unit circle
	far := math.Sqrt(max(0, 1/(px*px+py*py)-1))
	if large == sweep {
		far = -far
	}
	cx, cy := far*py, -far*px
	start, end := math.Atan2(py-cy, px-cx), math.Atan2(-py-cy, -px-cx)
	if sweep && end < start {
		end += 2 * math.Pi
	}
	if !sweep && end > start {
		end -= 2 * math.Pi
	}
	const n = 2000
	var points []point
	for i := 1; i <= n; i++ {
		s, c := math.Sincos(start + (end-start)*float64(i)/n)
		x, y := rx*(cx+c), ry*(cy+s)
		points = append(points, point{cos*x - sin*y + (from.x+to.x)/2, sin*x + cos*y + (from.y+to.y)/2})
	}
	return points
}
