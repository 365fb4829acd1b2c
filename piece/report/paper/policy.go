package paper

import (
	"crypto/sha256"
	"encoding/base64"
)

// Policy is what a page may do (W3C, Content Security Policy Level 3): nothing from
// outside is loaded, sent or called, and no script runs but the page's own, which are
// named by their SHA-256. What they play lies in the page itself.
func Policy(scripts ...string) string {
	p := "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
	for i, s := range scripts {
		if i == 0 {
			p += "; media-src data:; script-src"
		}
		sum := sha256.Sum256([]byte(s))
		p += " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return p
}
