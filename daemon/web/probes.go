package web

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"strings"

	"bainward/daemon/people"
	"bainward/dashboards"
	"bainward/sensors"
)

// What GET /api/probes gives, for commands that ask for it.
type (
	Probes        = dashboards.Probes
	Calibration   = dashboards.Calibration
	CalibrationAt = dashboards.CalibrationAt
	Correction    = dashboards.Correction
)

// The steps of a calibration at which something is asked of a person, or nothing more
// is.
const (
	CalibrationMove   = dashboards.CalibrationMove
	CalibrationResult = dashboards.CalibrationResult
	CalibrationOver   = dashboards.CalibrationOver
)

// Calibrator leads people through calibrating probes. A Doer that is one too has the
// page of the probes served.
type Calibrator interface {
	// Probes tells of every probe, and of the calibration that is going on.
	Probes() dashboards.Probes
	// StartCalibration begins with the ice; depth is in m below the surface of the
	// boiling water. Keep and Cancel end it. who does it is recorded.
	StartCalibration(ctx context.Context, probe sensors.Address, who string) error
	NextCalibration(ctx context.Context, probe sensors.Address, depth float64, who string) error
	KeepCalibration(ctx context.Context, probe sensors.Address, who string) error
	CancelCalibration(ctx context.Context, probe sensors.Address, who string) error
}

// probeRoutes adds what is there only where probes can be calibrated.
func (s *server) probeRoutes(mux *http.ServeMux) {
	c, ok := s.doer.(Calibrator)
	if !ok {
		return
	}
	mux.HandleFunc("GET /probes", func(w http.ResponseWriter, r *http.Request) {
		s.render(w, r, func(out *bytes.Buffer) error { return s.pages.RenderProbes(out, s.probesPage(r, c)) })
	})
	mux.HandleFunc("GET /probes/now", func(w http.ResponseWriter, r *http.Request) {
		s.render(w, r, func(out *bytes.Buffer) error { return s.pages.RenderProbesPart(out, s.probesPage(r, c)) })
	})
	mux.HandleFunc("GET /api/probes", func(w http.ResponseWriter, _ *http.Request) { s.sendJSON(w, c.Probes()) })
	mux.HandleFunc("POST /api/probe/{address}/calibration", func(w http.ResponseWriter, r *http.Request) { s.calibrate(w, r, c) })
}

func (s *server) probesPage(r *http.Request, c Calibrator) dashboards.ProbesPage {
	site := s.view.Site()
	p := dashboards.ProbesPage{
		Site: site.Name, Version: site.Version, Assets: s.assets, Demo: site.Demo, Units: site.Units,
		Places: s.places("/probes"), Standing: dashboards.StandingOf(s.view.Snapshots()),
		Probes: c.Probes(), MayKeep: s.door.People == nil,
	}
	if v, in := s.doorVisitor(r); in {
		p.MayKeep = v.role.May(people.Keep)
	}
	return p
}

type calibrationRequest struct {
	Do      string   `json:"do"`
	DepthCm *float64 `json:"depth_cm"`
	Who     string   `json:"who"`
}

// calibrate takes one step of a calibration.
func (s *server) calibrate(w http.ResponseWriter, r *http.Request, c Calibrator) {
	var in calibrationRequest
	probe, err := sensors.ParseAddress(r.PathValue("address"))
	if err != nil {
		writeError(w, http.StatusNotFound, err.Error())
		return
	}
	if !readJSON(w, r, &in) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	ctx, who := r.Context(), strings.TrimSpace(in.Who)
	switch in.Do {
	case "start":
		s.finish(w, r, "put it into melting ice", c.StartCalibration(ctx, probe, who))
	case "next":
		if in.DepthCm == nil {
			writeError(w, http.StatusBadRequest, "say as depth_cm how far below the surface of the boiling water the tip hangs")
			return
		}
		s.finish(w, r, "put it into boiling water", c.NextCalibration(ctx, probe, *in.DepthCm/100, who))
	case "keep":
		s.finish(w, r, "kept", c.KeepCalibration(ctx, probe, who))
	case "cancel":
		s.finish(w, r, "cancelled", c.CancelCalibration(ctx, probe, who))
	default:
		writeError(w, http.StatusBadRequest, fmt.Sprintf("do %q: want start, next, keep or cancel", in.Do))
	}
}
