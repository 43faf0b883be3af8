// Package browser holds the walks through the page in a real browser; there is
// nothing in it but tests.
//
//	cd kernel/page/browser && npm ci --ignore-scripts && go test .
package browser
