package main

import (
	"fmt"
)

var demoCommand = command{
	name: "demo", line: "demo",
	about:   "hear the demo take of the demo piece, both inside the program",
	options: hearOptions,
	run:     demo,
}

func demo(c *call) error { return fmt.Errorf("no demo yet") }
