// Command pack makes what people install who have no Go: into one folder, with
// checksums, whatever the computer it runs on can make. What it cannot make it
// names, with the reason.
//
//	the source at a commit ── build.go ─> programs ─┬─ debian.go ──> endpin_VERSION_amd64.deb
//	          go version -m ── licences.go ─────────┤
//	                 --help ── manpage.go ──────────┘
//
// Read products in main.go first.
package main
