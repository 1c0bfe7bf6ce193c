package app

import (
	"cmp"
	"fmt"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/alarm"
)

// remember takes a recorded entry into the past that the pages show.
func (h *history) remember(e record.Entry, units rules.Units) error {
	if err := h.led.entry(e); err != nil {
		return err
	}
	line, mark, err := inWords(e, units)
	if err != nil {
		return fmt.Errorf("read entry %d: %w", e.Seq, err)
	}
	if line.Text != "" {
		line.Entry, line.Wall = e.Seq, e.Wall
		h.line(line)
	}
	if mark.Text != "" {
		mark.At = e.At
		h.marks = append(h.marks, mark)
	}
	if e.Kind == record.KindCorrection {
		var c record.Correction
		if err := e.Decode(&c); err != nil {
			return err
		}
		h.voided(c.Voids)
	}
	return nil
}

// inWords says what an entry tells people; both are empty for readings and for
// findings, of which the alarms speak.
func inWords(e record.Entry, units rules.Units) (line dashboards.LogLine, mark dashboards.Mark, err error) {
	switch e.Kind {
	case record.KindEvent:
		var b record.Event
		if err = e.Decode(&b); err != nil {
			return
		}
		line.Text, line.Voidable = b.Text, true
		if b.By != "" {
			line.Text += " (" + b.By + ")"
		}
		mark = dashboards.Mark{Kind: dashboards.EventMark, Text: b.Text}
	case record.KindAlarm:
		var b record.Alarm
		if err = e.Decode(&b); err != nil {
			return
		}
		var c alarm.Change
		if c, err = b.Change(); err != nil {
			return
		}
		line.Text = c.Alarm.String() + ": " + c.To.String()
		if c.To == alarm.Unacknowledged {
			line.Text += ". " + rules.Say(c.Alarm, c.Finding, units)
			mark = dashboards.Mark{Kind: dashboards.AlarmMark, Priority: c.Priority, Text: c.Alarm.String()}
		}
		if c.From == alarm.SuppressedByDesign || c.To == alarm.SuppressedByDesign {
			line.Text = ""
		}
	case record.KindPhase:
		var b record.Phase
		if err = e.Decode(&b); err == nil {
			line.Text = b.Phase
		}
	case record.KindBatch:
		var b record.Batch
		if err = e.Decode(&b); err != nil {
			return
		}
		line.Text = "batch " + b.Number + " " + b.State
		if b.Verdict != "" {
			line.Text += ": " + b.Verdict
		}
	case record.KindCommand:
		var b record.Command
		if err = e.Decode(&b); err != nil {
			return
		}
		line.Text = b.Alarm + ": " + b.Action
		if b.Reason != "" {
			line.Text += " (" + b.Reason + ")"
		}
		if b.By != "" {
			line.Text += ", " + b.By
		}
	case record.KindCutout:
		var b record.Cutout
		if err = e.Decode(&b); err == nil {
			line.Text = cutoutInWords(b)
		}
	case record.KindAttempt:
		var b record.Attempt
		if err = e.Decode(&b); err == nil && b.Result == record.GaveUp {
			line.Text = "a message could not be delivered: " + cmp.Or(b.Said, "nobody said why")
		}
	case record.KindConfig:
		var b record.Config
		if err = e.Decode(&b); err == nil && b.By != "" {
			line.Text = "recipe " + b.Recipe.Name + " chosen (" + b.By + ")"
		}
	case record.KindRecipe:
		var b record.Recipe
		if err = e.Decode(&b); err == nil {
			line.Text = recipeInWords(b)
		}
	case record.KindChecklist:
		var b record.Checklist
		if err = e.Decode(&b); err == nil {
			line.Text = checklistInWords(b)
		}
	case record.KindCalibration:
		var b record.Calibration
		if err = e.Decode(&b); err == nil {
			line.Text = calibrationInWords(b)
		}
	case record.KindCalibrating:
		var b record.Calibrating
		if err = e.Decode(&b); err == nil {
			line.Text = calibratingInWords(b)
		}
	case record.KindPhone:
		var b record.Phone
		if err = e.Decode(&b); err == nil {
			line.Text = phoneInWords(b)
		}
	case record.KindCorrection:
		var b record.Correction
		if err = e.Decode(&b); err == nil {
			line.Text = fmt.Sprintf("taken back: entry %d, %s", b.Voids, b.Reason)
		}
	case record.KindRestart:
		var b record.Restart
		if err = e.Decode(&b); err == nil && e.Seq > 1 {
			line.Text = "bainward started again after " + rules.Minutes(b.Downtime)
			if !b.GapKnown {
				line.Text += " or so; the machine was off too, so no hold counts across it"
			}
		}
	case record.KindClock:
		var b record.Clock
		if err = e.Decode(&b); err == nil {
			line.Text = fmt.Sprintf("the clock was set by %s; nothing is counted with it", b.Step)
		}
	default:
		line.Text, err = goodsInWords(e)
		line.Voidable = line.Text != ""
	}
	return line, mark, err
}

// cutoutInWords says what became of the heat, and who gave it back if that is why.
func cutoutInWords(b record.Cutout) string {
	text := "heat cut: " + b.Why
	if b.Allow {
		text = "heat allowed: " + b.Why
	}
	if b.By != "" {
		text += " (given back by " + b.By + ")"
	}
	return text
}
