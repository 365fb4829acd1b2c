//go:build !race

package main

const underRace = 1.0
