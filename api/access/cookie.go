package access

import "net/http"

// Names of the cookies that hold the key of a session.
const (
	deviceCookie = "pourpath_device"
	judgeCookie  = "pourpath_judge"
)

// deviceKept is how long a browser keeps the session of a device, in s: the longest that
// browsers do is 400 days. The service ends one that is not used much earlier.
const deviceKept = 365 * 24 * 60 * 60

// setDevice gives a device its session. Lax, not Strict: a link to a page in a message
// opens on a paired phone, while forms and scripts of other sites come without it.
func setDevice(w http.ResponseWriter, r *http.Request, key string) {
	http.SetCookie(w, cookie(r, deviceCookie, key, http.SameSiteLaxMode, deviceKept))
}

// ForgetDevice takes its session from a device.
func ForgetDevice(w http.ResponseWriter, r *http.Request) {
	http.SetCookie(w, cookie(r, deviceCookie, "", http.SameSiteLaxMode, -1))
}

// SetJudge gives a judge's browser the key of its link, until the browser is closed.
// Its path is the whole site, as the style sheets of the judge's page are refused to
// whoever comes without it; what a judge may ask for is in the table of routes.
func SetJudge(w http.ResponseWriter, r *http.Request, key string) {
	http.SetCookie(w, cookie(r, judgeCookie, key, http.SameSiteStrictMode, 0))
}

func cookie(r *http.Request, name, key string, site http.SameSite, age int) *http.Cookie {
	return &http.Cookie{Name: name, Value: key, Path: "/", MaxAge: age, HttpOnly: true, SameSite: site, Secure: r.TLS != nil}
}
