// Pourpath predicts the colour of a rosé made by dosing a red wine into a white
// base, before anything is poured: at the command line, or as a service with
// pages on this machine.
package main

import (
	"context"
	"os"
)

func main() {
	os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
