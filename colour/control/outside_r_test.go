//go:build outside

package control_test

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pourpath/colour/control"
)

// script computes in base R, from its own functions, what the package computes:
// one line a quantity, its name and its figures.
const script = `
say <- function(name, x) cat(name, sprintf("%.15g", x), "\n")
X <- as.matrix(read.table(file("stdin")))
x <- X[,1]; n <- length(x); base <- 400
d <- abs(diff(x)); b <- x[1:base]
m <- mean(b); s <- mean(abs(diff(b))) / 1.128
say("level", c(m, s)); say("ranges", 1 + which(d > 3.267 * mean(abs(diff(b)))))

z <- (x - m) / s
rings <- function(name, k, w, inside) { # k of w, ringing at a point that is inside
  hit <- c()
  for (i in 1:n) { at <- max(1, i - w + 1):i; at <- at[inside[at]]
    if (inside[i] && length(at) >= k) hit <- union(hit, at) }
  say(name, sort(hit))
}
both <- function(name, k, w, t) { rings(paste0(name, "+"), k, w, z > t); rings(paste0(name, "-"), k, w, z < -t) }
both("beyond_action", 1, 1, 3); both("two_of_three", 2, 3, 2); both("four_of_five", 4, 5, 1)
both("eight_one_side", 8, 8, 0); both("nine_one_side", 9, 9, 0)
windows <- function(name, w, holds) {
  hit <- c(); for (i in w:n) { at <- (i - w + 1):i; if (holds(at)) hit <- union(hit, at) }; say(name, sort(hit)) }
windows("six_trend+", 6, function(at) all(diff(x[at]) > 0))
windows("six_trend-", 6, function(at) all(diff(x[at]) < 0))
windows("fourteen_alternating", 14, function(at) { e <- sign(diff(x[at])); all(e != 0) && all(e[-1] == -e[-length(e)]) })
windows("fifteen_near", 15, function(at) all(abs(z[at]) <= 1))
windows("eight_far", 8, function(at) all(abs(z[at]) > 1) && any(z[at] > 0) && any(z[at] < 0))

lambda <- 0.2; L <- 2.962
e <- stats::filter(lambda * (x - m), 1 - lambda, method = "recursive")
h <- L * s * sqrt(lambda / (2 - lambda) * (1 - (1 - lambda)^(2 * (1:n))))
say("ewma", m + e); say("ewma_beyond", which(abs(e) > h))

B <- X[1:base,]; p <- ncol(X)
t2 <- mahalanobis(X, colMeans(B), cov(B))
say("t2", t2)
say("t2_limits", c((base-1)^2 / base * qbeta(1-0.0027, p/2, (base-p-1)/2),
  p*(base+1)*(base-1) / (base*(base-p)) * qf(1-0.0027, p, base-p)))
without <- sapply(1:p, function(j) mahalanobis(X[,-j], colMeans(B[,-j]), cov(B[,-j])))
say("t2_contributions", t(t2 - without))

q <- X[1:base,2]; lower <- -4; upper <- 5; w <- mean(abs(diff(q))) / 1.128
near <- function(s) min(upper - mean(q), mean(q) - lower) / (3 * s); wide <- function(s) (upper - lower) / (6 * s)
say("pp", wide(sd(q)) * c(1, sqrt(qchisq(c(0.025, 0.975), base - 1) / (base - 1))))
say("ppk", near(sd(q)) + c(0, -1, 1) * qnorm(0.975) * sqrt(1/(9*base) + near(sd(q))^2 / (2*(base-1))))
say("cp", wide(w)); say("cpk", near(w))
u <- (sort(q) - mean(q)) / sd(q)
a <- -base - mean((2*(1:base) - 1) * (pnorm(u, log.p=TRUE) + pnorm(-rev(u), log.p=TRUE)))
say("anderson_darling", a * (1 + 0.75/base + 2.25/base^2))
`

// rFigures runs the script on columns.
func rFigures(t *testing.T, columns []control.Column) map[string][]float64 {
	t.Helper()
	var lines strings.Builder
	for i := range columns[0].Values {
		for _, c := range columns {
			fmt.Fprintf(&lines, "%s ", strconv.FormatFloat(c.Values[i], 'g', -1, 64))
		}
		lines.WriteByte('\n')
	}
	file := filepath.Join(t.TempDir(), "figures.R")
	if err := os.WriteFile(file, []byte(script), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "Rscript", "--vanilla", file)
	cmd.Stdin = strings.NewReader(lines.String())
	said, err := cmd.Output()
	if err != nil {
		t.Fatalf("Rscript (Debian package r-base-core): %v\n%s", err, said)
	}
	out := map[string][]float64{}
	scanner := bufio.NewScanner(strings.NewReader(string(said)))
	scanner.Buffer(nil, 1<<20)
	for scanner.Scan() {
		fields := strings.Fields(scanner.Text())
		out[fields[0]] = []float64{}
		for _, f := range fields[1:] {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			out[fields[0]] = append(out[fields[0]], v)
		}
	}
	return out
}

// TestOutsideR compares every chart with base R on a series that has all
// patterns of the rules in it.
func TestOutsideR(t *testing.T) {
	columns := eventful()
	want := rFigures(t, columns)
	figures := func(name string, got ...float64) {
		t.Helper()
		w, ok := want[name]
		if !ok || len(w) != len(got) {
			t.Errorf("%s: %d figures, R has %d", name, len(got), len(w))
			return
		}
		for i := range got {
			if math.Abs(got[i]-w[i]) > 1e-9*max(1, math.Abs(w[i])) {
				t.Errorf("%s, figure %d: %.12g, R has %.12g", name, i, got[i], w[i])
				return
			}
		}
	}
	base := control.Base{First: 400}
	rules := append(control.Nelson(), control.EightOneSide)
	c, err := control.NewIndividuals(columns[0].Values, base, rules)
	if err != nil {
		t.Fatal(err)
	}
	figures("level", c.Level.Centre, c.Level.Sigma)
	figures("ranges", places(c.Ranges.Signals, func(s control.Signal) []int { return s.Points[1:] })...)
	for _, r := range rules {
		for side, mark := range map[control.Side]string{control.Above: "+", control.Neither: "", control.Below: "-"} {
			name := string(r) + mark
			if _, ok := want[name]; !ok {
				continue
			}
			var some []control.Signal
			for _, s := range c.Signals {
				if s.Rule == r && s.Side == side {
					some = append(some, s)
				}
			}
			if len(some) == 0 {
				t.Errorf("%s: nothing found, so nothing is compared", name)
			}
			figures(name, places(some, func(s control.Signal) []int { return s.Points })...)
		}
	}
	e, err := control.NewEWMA(columns[0].Values, base, control.DefaultLambda, control.DefaultWidth)
	if err != nil {
		t.Fatal(err)
	}
	figures("ewma", e.Averages...)
	figures("ewma_beyond", places(e.Signals, func(s control.Signal) []int { return s.Points })...)

	m, err := control.NewT2(columns, base)
	if err != nil {
		t.Fatal(err)
	}
	figures("t2", m.Values...)
	figures("t2_limits", m.BaseLimit, m.FurtherLimit)
	if len(m.Signals) == 0 {
		t.Error("no T² signal, so no contributions are compared")
	}
	for _, s := range m.Signals {
		for j, got := range s.Contributions {
			if w := want["t2_contributions"][s.At*len(columns)+j]; math.Abs(got-w) > 1e-8*max(1, w) {
				t.Errorf("T², point %d, column %d: contribution %g, R has %g", s.At, j, got, w)
			}
		}
	}
	quiet, err := control.NewIndividuals(columns[1].Values[:400], control.Base{}, []control.Rule{control.FourteenAlternating})
	if err != nil {
		t.Fatal(err)
	}
	lower, upper := -4.0, 5.0
	p, err := quiet.Capability(control.Tolerance{Lower: &lower, Upper: &upper})
	if err != nil {
		t.Fatal(err)
	}
	figures("pp", p.Pp.Value, p.Pp.Lower, p.Pp.Upper)
	figures("ppk", p.Ppk.Value, p.Ppk.Lower, p.Ppk.Upper)
	figures("cp", p.Cp.Value)
	figures("cpk", p.Cpk.Value)
	figures("anderson_darling", p.Normality.Statistic)
}

// places are the points of signals, from 1 as R counts, each once and in order.
func places(signals []control.Signal, of func(control.Signal) []int) []float64 {
	var out []float64
	for _, s := range signals {
		for _, at := range of(s) {
			out = append(out, float64(at+1))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
