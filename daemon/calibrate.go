package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strconv"
	"strings"
	"time"

	"bainward/daemon/site"
	"bainward/daemon/web"
	"bainward/sensors"
)

type calibrateCommand struct {
	Site   string `required:"" placeholder:"FILE" help:"The site file."`
	Record string `placeholder:"DIR" help:"Folder of the record, in place of the site file's."`
	Listen string `placeholder:"ADDR" help:"Where the daemon serves its pages, in place of the site file's."`
	Who    string `placeholder:"NAME" help:"Who calibrates; where people sign in, the user of this machine."`
	JSON   bool   `name:"json" help:"Write JSON Lines for programs, one whenever something changed."`
	Probe  string `arg:"" help:"Address of the probe, such as 28-00000bbb9b13."`
}

// Run leads through the calibration of a probe. The daemon that runs reads the probe
// and keeps the result; this prints its steps and asks what only a person knows.
func (c *calibrateCommand) Run(ctx context.Context, out io.Writer) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	probe, err := sensors.ParseAddress(c.Probe)
	if err != nil {
		return err
	}
	as := testAlarmCommand{Listen: c.Listen, Record: c.Record}
	open := func() *askedDaemon { return newAskedDaemon(s, as.listen(s), as.record(s)) }
	who := c.Who
	if who == "" {
		who = whoAsks()
	}
	l := ledCalibration{daemon: open(), again: open, probe: probe, who: who, out: out, answers: linesOf(os.Stdin), every: time.Second}
	if c.JSON {
		l.forPrograms()
	}
	if err := l.lead(ctx); err != nil {
		return fmt.Errorf("calibrate probe %s: %w", probe, err)
	}
	return nil
}

// linesOf gives what a person writes, line by line, and closes at the end of it.
func linesOf(in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(in); s.Scan(); {
			lines <- strings.TrimSpace(s.Text())
		}
	}()
	return lines
}

// ledCalibration is a calibration led from a terminal.
type ledCalibration struct {
	daemon  *askedDaemon
	again   func() *askedDaemon // the same after it was started again, with another token
	probe   sensors.Address
	who     string
	out     io.Writer
	answers <-chan string
	every   time.Duration // between looks
	said    string        // last
	lines   *json.Encoder // nil: it is written for people
	line    []byte        // last
}

// stepWait is how long one request may take.
const stepWait = 10 * time.Second

var errGivenUp = errors.New("given up; nothing was kept")

// lead goes from the ice to the end. Whatever ends it early cancels it.
func (l *ledCalibration) lead(ctx context.Context) error {
	if err := l.do(ctx, "start", nil); err != nil {
		return err
	}
	err := l.follow(ctx)
	if err != nil {
		// ctx may be what ended; the daemon has a moment of its own to hear of it.
		_ = l.do(context.WithoutCancel(ctx), "cancel", nil) // it may be over already
	}
	return err
}

// follow looks every so often and does what the step asks for.
func (l *ledCalibration) follow(ctx context.Context) error {
	tick := time.NewTicker(l.every)
	defer tick.Stop()
	for {
		c, err := l.look(ctx)
		if err != nil && !errors.Is(err, errStartedAgain) {
			c, err = l.lookAgain(ctx, tick, err)
		}
		if err != nil {
			return err
		}
		if err := l.encode(c); err != nil {
			return err
		}
		switch c.Step {
		case web.CalibrationMove:
			err = l.deeper(ctx, c)
		case web.CalibrationResult:
			err = l.decide(ctx, c)
		case web.CalibrationOver:
			return l.over(c)
		default:
			err = l.tell(c)
		}
		if err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return errGivenUp
		case <-tick.C:
		}
	}
}

// forPrograms has it write JSON Lines in the place of words and questions. The answers
// are read all the same: a depth at the step move, yes or no at the result.
func (l *ledCalibration) forPrograms() { l.lines, l.out = json.NewEncoder(l.out), io.Discard }

// encode writes where it stands for programs, as GET /api/probes has it, if that is
// new.
func (l *ledCalibration) encode(c *web.Calibration) error {
	if l.lines == nil {
		return nil
	}
	line, err := json.Marshal(c)
	if err != nil || bytes.Equal(line, l.line) {
		return err
	}
	l.line = line
	return l.lines.Encode(c)
}

// over tells how it ended.
func (l *ledCalibration) over(c *web.Calibration) error {
	if !strings.Contains(c.Say, "kept") {
		return errors.New(c.Say)
	}
	return l.say(c.Say)
}

// tell prints where it stands, if that is new. Temperatures are in °C here, as in the
// JSON interface.
func (l *ledCalibration) tell(c *web.Calibration) error {
	if err := l.say(c.Say); err != nil || c.Wait == "" || c.Reads == nil {
		return err
	}
	_, err := fmt.Fprintf(l.out, "  %.2f °C, not taken yet: %s\n", *c.Reads, c.Wait)
	return err
}

// say prints what is to be done, once.
func (l *ledCalibration) say(text string) error {
	if text == l.said {
		return nil
	}
	l.said = text
	_, err := fmt.Fprintln(l.out, text)
	return err
}

// deeper asks how deep the probe hangs in the boiling water.
func (l *ledCalibration) deeper(ctx context.Context, c *web.Calibration) error {
	if err := l.say(c.Say); err != nil {
		return err
	}
	text, err := l.ask(ctx, "How many cm below the surface? ")
	if err != nil {
		return err
	}
	cm, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err == nil {
		err = l.do(ctx, "next", &cm)
	}
	if err != nil {
		_, err = fmt.Fprintf(l.out, "%v\n", err)
	}
	return err
}

// decide shows the result and asks whether it is kept.
func (l *ledCalibration) decide(ctx context.Context, c *web.Calibration) error {
	if err := l.say(c.Say); err != nil {
		return err
	}
	before := "It was never calibrated before"
	if r := c.Result; r.Before != "" {
		before = "Before, of " + r.Before
	}
	_, err := fmt.Fprintf(l.out, "  ice: reads %.3f °C, is %.3f °C\n  boil: reads %.3f °C, is %.3f °C\n  known within ±%.2f K (k = 2). %s: ±%.2f K. It reads %+.2f K in ice and %+.2f K at the boil from now on.\n",
		c.Ice.Reads, c.Ice.True, c.Boil.Reads, c.Boil.True, c.Result.U, before, c.Result.BeforeU, c.Result.AtIce, c.Result.AtBoil)
	if err != nil {
		return err
	}
	text, err := l.ask(ctx, "Keep it? yes or no: ")
	switch {
	case err != nil:
		return err
	case text == "yes":
		return l.do(ctx, "keep", nil)
	}
	return errGivenUp
}

// ask prints a question and waits for one line.
func (l *ledCalibration) ask(ctx context.Context, question string) (string, error) {
	if _, err := io.WriteString(l.out, question); err != nil {
		return "", err
	}
	select {
	case <-ctx.Done():
	case text, ok := <-l.answers:
		if ok {
			return text, nil
		}
	}
	return "", errGivenUp
}

// look asks the daemon where the calibration stands.
func (l *ledCalibration) look(ctx context.Context) (*web.Calibration, error) {
	ctx, cancel := context.WithTimeout(ctx, stepWait)
	defer cancel()
	var all web.Probes
	if err := l.daemon.ask(ctx, http.MethodGet, "/api/probes", "", &all); err != nil {
		return nil, err
	}
	if c := all.Calibration; c != nil && c.Probe == l.probe.String() {
		return c, nil
	}
	return nil, errStartedAgain
}

var errStartedAgain = errors.New("the daemon was started again meanwhile: begin anew")

// awayAtMost is how long a daemon that is started again may take, the fold of its
// record included.
const awayAtMost = time.Minute

// lookAgain waits for a daemon that does not answer, for it says what became of the
// calibration when it is back. why is what the person is told if it is not.
func (l *ledCalibration) lookAgain(ctx context.Context, tick *time.Ticker, why error) (*web.Calibration, error) {
	if err := l.say("The daemon does not answer: waiting for it."); err != nil {
		return nil, err
	}
	for range awayAtMost / l.every {
		select {
		case <-ctx.Done():
			return nil, errGivenUp
		case <-tick.C:
		}
		l.daemon = l.again()
		c, err := l.look(ctx)
		if err == nil || errors.Is(err, errStartedAgain) {
			return c, err
		}
	}
	return nil, why
}

// do has the daemon take a step.
func (l *ledCalibration) do(ctx context.Context, step string, depthCm *float64) error {
	ctx, cancel := context.WithTimeout(ctx, stepWait)
	defer cancel()
	body, err := json.Marshal(struct {
		Do      string   `json:"do"`
		DepthCm *float64 `json:"depth_cm,omitempty"`
		Who     string   `json:"who"`
	}{step, depthCm, l.who})
	if err != nil {
		return err
	}
	var done struct{ Done string }
	err = l.daemon.ask(ctx, http.MethodPost, "/api/probe/"+l.probe.String()+"/calibration", string(body), &done)
	if step == "start" && err != nil {
		return fmt.Errorf("ask the daemon at %s: %w", l.daemon.address, err)
	}
	return err
}
