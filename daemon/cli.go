package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"strings"

	"github.com/alecthomas/kong"
)

// grammar is the command line: one field a command, each defined with its Run
// in the file of its name. Run may ask for a context.Context that ends at
// SIGINT or SIGTERM, an io.Writer for its output and a *slog.Logger.
type grammar struct {
	Probes    probesCommand    `cmd:"" help:"List the probes that answer, and what is wrong with those that do not."`
	Demo      demoCommand      `cmd:"" help:"Play a whole story on two invented baths, without any hardware."`
	Watch     watchCommand     `cmd:"" help:"Watch the baths of a site: the daemon."`
	Replay    replayCommand    `cmd:"" help:"Judge a trace file as the daemon would have judged it live."`
	Plan      planCommand      `cmd:"" help:"Plan a batch: what to weigh in, when to expect what, what comes out, what to see to before lighting."`
	Recipe    recipeCommand    `cmd:"" help:"Look at the recipes: those of the site file, and those made on the page; make and retire them."`
	Batch     batchCommand     `cmd:"" help:"Look back at the batches of a record: list, show, sheet and labels."`
	Shelf     shelfCommand     `cmd:"" help:"Look at the bottles: what stands where, what is due, what a lot went into."`
	CheckSite checkSiteCommand `cmd:"" help:"Check a site file and say in plain words what would be watched."`
	Record    recordCommand    `cmd:"" help:"Look into a record."`
	Judge     judgeCommand     `cmd:"" help:"Measure how well the rules know the pan, over simulated baths or traces with their truth."`
	Rationale rationaleCommand `cmd:"" help:"Print what was decided about every alarm: when it comes, why, what to do, how long there is."`
	Figures   figuresCommand   `cmd:"" help:"Print how well the alarms do their work, by bath and month, beside the targets of the standards."`
	TestAlarm testAlarmCommand `cmd:"" help:"Send a test through every alarm channel, before it is needed, and print what the far ends answer."`
	Calibrate calibrateCommand `cmd:"" help:"Lead through the calibration of a probe in melting ice and boiling water, by the daemon that runs."`
	People    peopleCommand    `cmd:"" help:"Give people passwords for the pages, take them away, sign people out."`
	Version   versionCommand   `cmd:"" help:"Print the version."`
}

// Exit codes, as the POSIX shell and utilities use them.
const (
	exitDone   = 0
	exitFailed = 1 // the command was understood and failed
	exitUsage  = 2 // the command line was not understood
)

const description = `Watches the water baths in which hot macerated oils are made.
It advises and is not a safety device: never leave a lit bath alone.`

// run runs one command line and returns the exit code. What went wrong is one
// sentence a line on stderr.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var g grammar
	helped := false
	parser, err := kong.New(&g,
		kong.Name("bainward"),
		kong.Description(description),
		kong.Writers(stdout, stderr),
		kong.Exit(func(int) { helped = true }), // kong ends the program after --help
		kong.BindTo(ctx, (*context.Context)(nil)),
		kong.BindTo(stdout, (*io.Writer)(nil)),
		kong.Bind(slog.New(slog.NewTextHandler(stderr, nil))),
	)
	if err != nil {
		complain(stderr, fmt.Errorf("build the command line: %w", err))
		return exitFailed
	}
	command, err := parser.Parse(args)
	switch {
	case helped:
		return exitDone
	case err != nil:
		complain(stderr, fmt.Errorf("%w; bainward --help shows what there is", err))
		return exitUsage
	}
	if err := command.Run(); err != nil {
		complain(stderr, err)
		return exitFailed
	}
	return exitDone
}

// complain prints err, each of its lines with the program's name.
func complain(stderr io.Writer, err error) {
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintf(stderr, "bainward: %s\n", line)
	}
}
