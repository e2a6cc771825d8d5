// Command resawd computes what stands around resawing boards into thin leaves on a
// bandsaw, as an HTTP service and on the command line.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
)

// version is set by the build of a release.
var version = "development"

// main runs the program. Its comment holds the general part of the API document, which
// the generator looks for here.
//
//	@Title				resawd
//	@Version			1
//	@Description		Does the calculations around resawing hardwood boards into thin leaves on a bandsaw: how many leaves a board gives, how far to turn the dial before each cut, how fast to feed, which blade to mount, and the whole run sheet. Every calculator takes the same fields by GET, in the query, and by POST, in a JSON object, and gives the same answer. Lengths are in `units`, inches unless it says mm, and any length may be a text with its own unit. A request that is wrong is answered with a problem (RFC 9457) that lists every wrong field.
//	@Contact.name		The maintainers of this service
//	@License.name		MIT
//	@Servers.url		/
//	@Servers.description	The service that gave this document
//	@Tag.name			before the saw
//	@Tag.description	What a board gives and which blade suits it
//	@Tag.name			at the saw
//	@Tag.description	What the sawyer asks during a run
//	@Tag.name			after the saw
//	@Tag.description	What leaves become, what to ask for them, and what the saw needs next
//	@Tag.name			in bulk
//	@Tag.description	Many calculations in one request
//	@Tag.name			the shop
//	@Tag.description	What requests may leave out or name
//	@Tag.name			running the service
//	@Tag.description	For those who run the service
func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	code := run(ctx, os.Args[1:], os.Getenv, os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// command is something that the program does.
type command struct {
	name, about string
	run         func(ctx context.Context, p *program, args []string) error
}

var commands = []command{
	{"serve", "answer HTTP requests until told to stop", serve},
	{"run", "print the run sheet of a request file, with no server", runSheet},
	{"plan", "print which boards to cut for the order of a request file, with no server", printPlan},
	{"bulk", "answer a table of requests, CSV from the standard input, with no server", bulk},
	{"key", "make a key with key new: its entry for the keys file on the standard output, the key itself on the standard error", makeKey},
	{"openapi", "print the API document, as yaml or with --format json", printDocument},
	{"healthcheck", "ask a running service whether it is well, for a container's health check", healthcheck},
	{"version", "print the version", printVersion},
}

// program is what a command may use of the world outside.
type program struct {
	getenv func(string) string
	stdin  io.Reader
	stdout io.Writer
	stderr io.Writer // for what is wrong, and for the log
}

// run is the program. It returns the exit code.
func run(ctx context.Context, args []string, getenv func(string) string, stdin io.Reader, stdout, stderr io.Writer) int {
	p := &program{getenv, stdin, stdout, stderr}
	if len(args) == 0 || args[0] == "help" || args[0] == "-h" || args[0] == "--help" {
		p.usage(stdout)
		return 0
	}
	for _, c := range commands {
		if c.name != args[0] {
			continue
		}
		switch err := c.run(ctx, p, args[1:]); {
		case errors.Is(err, errHelp):
			return 0
		case errors.Is(err, errUsage):
			return 2
		case err != nil:
			fmt.Fprintf(stderr, "resawd %s: %v\n", c.name, err)
			return 1
		}
		return 0
	}
	fmt.Fprintf(stderr, "resawd: there is no command %q\n", args[0])
	p.usage(stderr)
	return 2
}

func (p *program) usage(w io.Writer) {
	fmt.Fprint(w, "resawd computes what a resawing run needs.\n\nUsage: resawd COMMAND [FLAGS]\n\n")
	for _, c := range commands {
		fmt.Fprintf(w, "  %-12s %s\n", c.name, c.about)
	}
	fmt.Fprint(w, "\nresawd COMMAND --help lists the flags. Each flag can also be set in the environment:\n--listen is RESAWD_LISTEN, and so on.\n")
}

func printVersion(_ context.Context, p *program, args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("takes no arguments; %s was given", strings.Join(args, " "))
	}
	_, err := fmt.Fprintln(p.stdout, version)
	return err
}
