package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"syscall"

	"github.com/mattn/go-isatty"
	"github.com/muesli/termenv"
	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

// Exit statuses. A command exits 0 when it has an answer.
const (
	exitFailure      = 1 // anything but the request was at fault
	exitBadInput     = 2
	exitFail         = 3 // check --exit-verdict
	exitInconclusive = 4 // check --exit-verdict
)

// status is an error that is nothing but an exit status.
type status int

func (s status) Error() string { return fmt.Sprintf("exit status %d", int(s)) }

// session is one run of the program: its streams and the flags that all
// calculations share.
type session struct {
	in       io.Reader
	out, err io.Writer
	file     string // of the request; "" or "-" is standard input
	asJSON   bool
	records  storeFlags // where a calculation finds stored wines
}

// run is the program. It ends what it started when ctx ends or the process is
// asked to stop, and returns the exit status.
func run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer) int {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()

	s := &session{in: in, out: out, err: errOut}
	root := s.root()
	root.SetArgs(append([]string{}, args...)) // nil would mean those of the process
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errOut)
	command, err := root.ExecuteContextC(ctx)

	var exit status
	switch {
	case err == nil:
		return 0
	case errors.As(err, &exit):
		return int(exit)
	}
	// A flag that cannot be read ends the reading of flags, so --json may not
	// have been reached.
	s.asJSON = s.asJSON || slices.Contains(args, "--json")
	if p := calc.AsProblem(err); p != nil {
		s.printProblem(command.CommandPath(), p)
		return exitBadInput
	}
	s.complain("%s: %v", command.CommandPath(), err)
	return exitFailure
}

func (s *session) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "pourpath",
		Short: "Predict the colour of a rosé before pouring it",
		Long: "Pourpath predicts the colour of a rosé made by dosing a red wine into a white base.\n\n" +
			"A calculation reads a request as JSON from -f FILE or standard input and prints a\n" +
			"table, or JSON with --json. On a terminal without -f it prints an example request.\n\n" +
			"Doses are mL of addition per 100 mL of base. Colour says nothing of sulphur dioxide,\n" +
			"alcohol, allergens or what local codes and labels allow: check them before pouring.",
		SilenceErrors: true, SilenceUsage: true,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usage("%v", err) })
	root.AddCommand(
		s.colourCommand(), s.blendCommand(), s.ladderCommand(), s.matchCommand(), s.scaleCommand(), s.trimCommand(), s.checkCommand(), s.chartCommand(), s.driftCommand(),
		s.trialCommand(), s.panelCommand(),
		s.specCommand(), s.lotCommand(), s.instrumentCommand(), s.verdictsCommand(), s.statementCommand(),
		s.importCommand(), s.exportCommand(), s.backupCommand(), s.restoreCommand(), s.verifyCommand(),
		s.serveCommand(), s.deviceCommand(), s.demoCommand(), s.versionCommand(),
	)
	return root
}

// complain writes a line to standard error. There is nowhere to tell that this
// failed; the exit status says that something did.
func (s *session) complain(format string, args ...any) {
	_, _ = fmt.Fprintf(s.err, format+"\n", harmless(args)...)
}

// progress writes to standard error how far something is.
func (s *session) progress(format string, args ...any) { _, _ = fmt.Fprintf(s.err, format, args...) }

// usage is the problem of a command line that cannot be followed.
func usage(format string, args ...any) error {
	return calc.Refuse(calc.Fault{Message: fmt.Sprintf(format, args...)})
}

// noArguments refuses words that are no flags, with what was probably meant.
func noArguments(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if c.HasSubCommands() {
		return usage("there is no command %q; see %s --help", args[0], c.CommandPath())
	}
	return usage("%q is not a flag: a request is read from -f FILE or standard input", args[0])
}

// terminal reports whether stream is a terminal.
func terminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && (isatty.IsTerminal(f.Fd()) || isatty.IsCygwinTerminal(f.Fd()))
}

// page is where the answer for people goes. Its swatches have colour only where
// the output is a terminal that can and NO_COLOR is not set.
func (s *session) page() *page {
	return &page{w: s.out, profile: termenv.NewOutput(s.out).EnvColorProfile()}
}
