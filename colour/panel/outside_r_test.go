//go:build outside

package panel_test

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pourpath/colour/panel"
)

// script computes in base R what the package computes: friedman.test, and the
// rest from the definitions. It reads one table a time, judges in lines, NA where a
// judge did not have a glass; the higher answer is preferred.
const script = `
say <- function(name, x) cat(name, sprintf("%.15g", x), "\n")
ginverse <- function(v) { e <- eigen(v, symmetric = TRUE); k <- e$values > 1e-9 * max(e$values)
  e$vectors[, k, drop = FALSE] %*% diag(1 / e$values[k], sum(k)) %*% t(e$vectors[, k, drop = FALSE]) }
X <- as.matrix(read.table(file("stdin"), na.strings = "NA")); J <- nrow(X); P <- ncol(X)
R <- t(apply(-X, 1, rank, na.last = "keep")); n <- rowSums(!is.na(R))   # 1 is the highest
say("rank_sums", colSums(R, na.rm = TRUE))
if (!anyNA(X)) {
  f <- friedman.test(X)
  say("chi2", f$statistic); say("df", f$parameter); say("p", f$p.value); say("W", f$statistic / (J * (P - 1)))
  say("least", qnorm(0.975) * sqrt(2 * sum(apply(R, 1, var))))
} else {
  V <- matrix(0, P, P); w <- sqrt(12 / (n + 1)); Z <- matrix(0, J, P)
  for (j in 1:J) { h <- !is.na(R[j,]); Z[j, h] <- w[j] * (R[j, h] - (n[j] + 1) / 2)
    V[h, h] <- V[h, h] + var(Z[j, h]) * (diag(n[j]) - 1 / n[j]) }
  q <- drop(t(colSums(Z)) %*% ginverse(V) %*% colSums(Z)); df <- qr(V)$rank
  say("chi2", q); say("df", df); say("p", pchisq(q, df, lower.tail = FALSE))
  e <- ginverse(V) %*% colSums(Z); g <- ginverse(V); z <- c()
  for (a in 1:(P - 1)) for (b in (a + 1):P) z <- c(z, (e[a] - e[b]) / sqrt(g[a, a] + g[b, b] - 2 * g[a, b]))
  say("z", z)
  r <- colSums(!is.na(R)); k <- n[1]; M <- crossprod(!is.na(R))   # Durbin, Conover (1999), 5.9
  if (all(n == k) && all(r == r[1]) && all(apply(R, 1, function(x) !any(duplicated(x[!is.na(x)])))) && length(unique(M[upper.tri(M)])) == 1) {
    say("durbin", (P - 1) * sum((colSums(R, na.rm = TRUE) - r[1] * (k + 1) / 2)^2) / (J * k * (k + 1) * (k - 1) / 12))
    l <- M[1, 2]; say("least", qnorm(0.975) * sqrt((k + 1) * (r[1] * (k - 1) + l) / 6))
  }
}
U <- t(apply(X, 1, rank, na.last = "keep")); y <- 1:P                # Page, from the last
L <- sum(t(U) * y, na.rm = TRUE); m <- 0; v <- 0
for (j in 1:J) { h <- !is.na(U[j,]); m <- m + sum(y[h]) * mean(U[j, h]); v <- v + (n[j] - 1) * var(y[h]) * var(U[j, h]) }
say("L", L); say("L_expected", m); say("L_sd", sqrt(v)); say("L_p", 2 * pnorm(-abs(L - m) / sqrt(v)))
perms <- function(x) if (length(x) < 2) matrix(x, 1) else do.call(rbind, lapply(seq_along(x), function(i) cbind(x[i], perms(x[-i]))))
d <- c("0" = 1)                                                       # its exact distribution, judge after judge
for (j in 1:J) { h <- !is.na(U[j,]); one <- table(round(4 * perms(U[j, h]) %*% y[h])) / factorial(n[j])
  s <- outer(as.numeric(names(d)), as.numeric(names(one)), "+"); d <- tapply(c(outer(d, as.numeric(one))), c(s), sum) }
x <- as.numeric(names(d)) / 4
say("L_more", sum(d[x >= L - 1e-9])); say("L_less", sum(d[x <= L + 1e-9])); say("L_exact", sum(d[abs(x - m) >= abs(L - m) - 1e-9]))
share <- (n - R) / (n - 1); chance <- (n + 1) / (12 * (n - 1)); bounds <- c()
for (g in 1:P) { s <- share[, g]; h <- !is.na(s); a <- sum(h)
  half <- qt(0.975, a - 1) * sqrt(((a - 1) * var(s[h]) + mean(chance[h])) / a / a)
  bounds <- c(bounds, mean(s[h]), max(0, mean(s[h]) - half), min(1, mean(s[h]) + half)) }
say("share", bounds)
`

// rFigures runs the script on answers.
func rFigures(t *testing.T, answers [][]float64) map[string][]float64 {
	t.Helper()
	var lines strings.Builder
	for _, row := range answers {
		for _, v := range row {
			if math.IsNaN(v) {
				lines.WriteString("NA ")
			} else {
				lines.WriteString(strconv.FormatFloat(v, 'g', -1, 64) + " ")
			}
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
	for line := range strings.Lines(string(said)) {
		fields := strings.Fields(line)
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

// tastes are scores of judges who like glasses around the middle, whole numbers
// from 0 to the given most so that some are alike; gaps of them are blank.
func tastes(judges, glasses, most, gaps int, seed uint64) [][]float64 {
	draw := seeded(seed)
	answers := make([][]float64, judges)
	for j := range answers {
		for g := range glasses {
			answers[j] = append(answers[j], float64(draw(most+1)-(g-glasses/2)*(g-glasses/2)))
		}
	}
	for range gaps {
		answers[draw(judges)][draw(glasses)] = math.NaN()
	}
	return answers
}

// served are scores in the blocks of a serving, without ties.
func served(t *testing.T, glasses, perJudge, judges int) [][]float64 {
	s := serve(t, glasses, perJudge, judges, 8)
	answers := make([][]float64, judges)
	for j, order := range s.Orders {
		answers[j] = make([]float64, glasses)
		for g := range answers[j] {
			answers[j][g] = math.NaN()
		}
		for p, g := range order {
			answers[j][g] = float64((g*7+p*3+j*5)%11) + float64(g)/100
		}
	}
	return answers
}

// TestOutsideR compares every test with base R.
func TestOutsideR(t *testing.T) {
	for name, answers := range map[string][][]float64{
		"first base":    firstBase(),
		"few, alike":    tastes(4, 3, 4, 0, 1),
		"many":          tastes(30, 6, 1000, 0, 2),
		"many, alike":   tastes(25, 5, 6, 0, 3),
		"ice cream":     iceCream(),
		"blocks 9 of 4": served(t, 9, 4, 18),
		"blocks 6 of 3": served(t, 6, 3, 20),
		"uneven blocks": served(t, 7, 4, 10),
		"gaps":          tastes(12, 5, 9, 8, 4),
		"gaps, alike":   tastes(9, 6, 4, 10, 5),
	} {
		kind := panel.Scores
		if name == "ice cream" { // ranks: turned, as the script takes the higher
			for _, row := range answers {
				for g := range row {
					row[g] = -row[g]
				}
			}
		}
		r := analysed(t, answers, kind)
		want := rFigures(t, answers)
		compared := map[string]bool{}
		figures := func(what string, got ...float64) {
			t.Helper()
			w := want[what]
			compared[what] = true
			if len(w) != len(got) {
				t.Errorf("%s, %s: %d figures, R has %d", name, what, len(got), len(w))
				return
			}
			for i := range got {
				if math.Abs(got[i]-w[i]) > 1e-8*max(1e-3, math.Abs(w[i])) {
					t.Errorf("%s, %s, figure %d: %.12g, R has %.12g", name, what, i, got[i], w[i])
				}
			}
		}
		figures("chi2", r.Difference.Statistic)
		figures("df", float64(r.Difference.Degrees))
		figures("p", r.Difference.PApproximate)
		switch r.Difference.Name {
		case panel.Friedman:
			figures("W", *r.Agreement)
		case panel.Durbin:
			figures("durbin", r.Difference.Statistic)
		}
		if _, ok := want["least"]; ok {
			figures("least", *r.LeastDifference)
		}
		if _, ok := want["z"]; ok {
			var z []float64
			for _, p := range r.Pairs {
				z = append(z, p.Z)
			}
			figures("z", z...)
		}
		figures("L", r.Trend.L)
		figures("L_expected", r.Trend.Expected)
		figures("L_sd", r.Trend.SD)
		figures("L_p", r.Trend.PApproximate)
		figures("L_more", r.Trend.PMore)
		figures("L_less", r.Trend.PLess)
		figures("L_exact", r.Trend.P)
		var sums, shares []float64
		for _, g := range r.Glasses {
			sums = append(sums, g.RankSum)
			shares = append(shares, g.Share.Value, g.Share.Low, g.Share.High)
		}
		figures("rank_sums", sums...)
		figures("share", shares...)
		for what := range want {
			if !compared[what] {
				t.Errorf("%s: R's %s is compared with nothing", name, what)
			}
		}
		t.Logf("%s: %s %.4f, p %.4g (%s)", name, r.Difference.Name, r.Difference.Statistic, r.Difference.P, r.Difference.By)
	}
}
