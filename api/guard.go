package api

import (
	"mime"
	"net/http"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"pourpath/api/access"
	"pourpath/api/calc"
)

// secureHeaders tells browsers to take nothing from elsewhere, guess no types,
// tell no other site where a link was, and show no page of ours inside another.
//
// The policy for referrers is same-origin, not no-referrer: with the latter a form comes
// with "Origin: null" (Fetch, "append a request Origin header"), and over a line that is
// not encrypted browsers send no Sec-Fetch-Site beside it, so that the gate could not tell
// our own form from another site's. Our addresses still go to no other site.
func secureHeaders(c *gin.Context) {
	h := c.Writer.Header()
	h.Set("Content-Security-Policy", "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	if strings.HasPrefix(c.Request.URL.Path, "/v1/") {
		h.Set("Cache-Control", "no-store")
	}
}

// noNUL refuses addresses with a character U+0000 in them: no identifier has one,
// and a database may take it for the end of its text.
func noNUL(c *gin.Context) {
	if strings.Contains(c.Request.URL.Path, "\x00") || strings.Contains(c.Request.URL.RawQuery, "%00") {
		write(c, kindNotFound.problem("there is nothing at %.200q: the address has a character U+0000 in it", c.Request.URL.RequestURI()))
	}
}

// ofRecordPages says whether a route is of recordPages.
func ofRecordPages(route string) bool {
	return slices.ContainsFunc(recordPages, func(path string) bool { return route == path || route == path+"/*path" })
}

// limitBody refuses bodies above the limit, before reading any where the length
// is told, and bodies of another kind than JSON. Files and the pages' forms have
// limits of their own.
func limitBody(c *gin.Context) {
	if c.Request.Method != http.MethodPost && c.Request.Method != http.MethodPut {
		return
	}
	switch at := c.FullPath(); {
	case at == linkRoute: // takes no body
		return
	case at == "", at == importPath, at == importPage, at == importPage+"/:key", at == languagePage, at == access.PairPage, at == access.DevicePage, at == access.JudgePage, at == access.JudgingPage, ofRecordPages(at):
		return
	}
	if c.Request.ContentLength > calc.MaxBytes {
		// The rest of the body is not read, so the connection is of no more use.
		c.Header("Connection", "close")
		write(c, calc.TooLong())
		return
	}
	given := c.GetHeader("Content-Type")
	if kind, _, err := mime.ParseMediaType(given); err != nil || kind != "application/json" {
		write(c, kindMediaType.problem("the body is said to be %.100q; this call takes application/json", given))
		return
	}
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, calc.MaxBytes)
}
