package pages
import ("testing";"net/http";"log/slog";"os";"time")
func TestServe(t *testing.T){
 if os.Getenv("SERVE")=="" {t.Skip()}
 csp:=func(h http.Handler) http.Handler { return http.HandlerFunc(func(w http.ResponseWriter,r *http.Request){ w.Header().Set("Content-Security-Policy","default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"); h.ServeHTTP(w,r)})}
 for a,d:=range map[string]bool{"127.0.0.1:9931":true,"127.0.0.1:9932":false}{
  h,err:=New(Config{Version:"dev",Demo:d,Log:slog.New(slog.NewTextHandler(os.Stderr,nil))}); if err!=nil{t.Fatal(err)}
  go http.ListenAndServe(a,csp(h))
 }
 time.Sleep(8*time.Minute)
}
