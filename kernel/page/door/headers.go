package door

import (
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"strings"
)

// protect sets what every answer carries. Answers that are pages set a policy
// of their own; see Policy.
func protect(h http.Header) {
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=(), usb=()")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Security-Policy", "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
}

// Nonce is a word for one answer's style sheets.
func Nonce() string {
	var b [16]byte
	rand.Read(b[:])
	return base64.StdEncoding.EncodeToString(b[:])
}

// Policy lets our own page run our own script and nothing else: no script in
// the page itself, no other site, no frame around it. Styles that the editor
// makes carry the nonce. What is turned into HTML must have passed the
// sanitizer (Trusted Types, where the browser has them).
func Policy(h http.Header, host, nonce string) {
	h.Set("Content-Security-Policy", strings.Join([]string{
		"default-src 'none'",
		"script-src 'self'",
		"style-src 'self' 'nonce-" + nonce + "'",
		"img-src 'self' data: blob:",
		"font-src 'self'",
		"connect-src 'self' ws://" + host,
		"frame-src 'self'",
		"manifest-src 'self'",
		"base-uri 'none'",
		"form-action 'none'",
		"frame-ancestors 'none'",
		"require-trusted-types-for 'script'",
		"trusted-types tautline dompurify",
	}, "; "))
}

// Refuse answers no, as JSON to programs and as a page to people.
func Refuse(w http.ResponseWriter, r *http.Request, status int, sentence string) {
	w.Header().Set("Connection", "close") // without waiting for a body that may never come
	if r.URL.Path != "/" && r.URL.Path != EnterPath && !strings.Contains(r.Header.Get("Accept"), "text/html") {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(status)
		json.NewEncoder(w).Encode(map[string]any{"message": sentence, "reason": nil})
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	fmt.Fprintf(w, "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">"+
		"<title>tautline</title><main><h1>tautline</h1><p>%s</p></main></html>\n", html.EscapeString(sentence))
}
