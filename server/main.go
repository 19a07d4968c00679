// The program: a diagnostic assistant for home mechanics, served as a page,
// spoken in a terminal, and a checker for its articles.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run is the program without the process around it. It returns the exit code:
// 0 well, 1 failed, 2 asked for wrongly.
func run(ctx context.Context, args []string, in *os.File, out, errs *os.File) int {
	name := "serve"
	if len(args) > 0 && (args[0] == "talk" || args[0] == "check" || args[0] == "cases" || args[0] == "help") {
		name, args = args[0], args[1:]
	}
	var err error
	switch name {
	case "help":
		fmt.Fprint(out, usage)
		return 0
	case "talk":
		err = talk(ctx, args, in, out, errs)
	case "cases":
		err = cases(args, out, errs)
	case "check":
		err = check(args, out, errs)
	default:
		ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
		defer stop()
		err = serve(ctx, args, out, errs)
	}
	switch {
	case err == nil, errors.Is(err, errHelp):
		return 0
	case errors.Is(err, errUsage):
		return 2
	case errors.Is(err, errWrong):
		fmt.Fprintln(errs, "ruleout:", err)
		return 2
	}
	fmt.Fprintln(errs, "ruleout:", err)
	return 1
}
