package pages

import "net/http"

// judgeCookie holds the key of a judge's link while the browser is open.
const judgeCookie = "pourpath_judge"

// setJudge gives a judge's browser the key of its link.
func setJudge(w http.ResponseWriter, r *http.Request, key string) {
	http.SetCookie(w, &http.Cookie{Name: judgeCookie, Value: key, Path: judgingPage, HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil})
}

// judgeKey is the key that a judge's browser has; empty for none.
func judgeKey(r *http.Request) string {
	if c, err := r.Cookie(judgeCookie); err == nil {
		return c.Value
	}
	return ""
}
