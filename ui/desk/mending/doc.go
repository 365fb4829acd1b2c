// Package mending is the work on one thing that was heard, from the first round until it is mended:
// what each stage sets on the desk, and when something else is offered than going on.
//
//	a finding ─ practice.AimAt ─> Bench ── Host.Stage ─> measures, way and tempo of the stage
//	a round that was judged ───────^ └──── Offers ────> slower, another way
//
// How a round is judged, and what comes next, package practice decides. Read Bench first.
package mending
