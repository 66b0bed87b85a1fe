package record

import (
	"fmt"
	"math"
	"time"

	"pourpath/api/calc"
	"pourpath/colour/blend"
	"pourpath/colour/ladder"
	"pourpath/colour/volumetric"
)

// WithdrawnU is the relative standard uncertainty of what is taken out of a glass with
// no tool of the trial: a sip, a cell. A judgement, no source.
const WithdrawnU = 0.1

// measuredVolume is a volume with how it was measured.
type measuredVolume struct {
	parts     []volumetric.Pour
	u         float64 // of all of it, in mL
	ofKit     bool    // a tool of the trial was used
	questions []calc.Warning
}

// measured is the volume of a pour or withdrawal with the tool that it names. A
// tool that is none of the trial's is taken for one that nobody stated. ok is
// false where the tool does not hold so much; the fault is in f then.
func (t *Trial) measured(e LogEntry, f *calc.Faults) (out measuredVolume, ok bool) {
	volume := *e.VolumeML
	out.questions = []calc.Warning{}
	known, there := calc.ToolNamed(t.Tools, e.Tool)
	if !there {
		out.parts, out.u = []volumetric.Pour{ladder.Unstated(volume)}, WithdrawnU*volume
		if e.Kind == Pour && len(t.Tools) > 0 {
			out.questions = append(out.questions, noTool(e.Tool))
		}
		return out, true
	}
	tool := known.Core()
	step := tool.StepML()
	full := math.Floor(tool.CapacityML/step*(1+1e-9)) * step
	fills := int(math.Ceil(volume/full - 1e-9))
	if fills > max(e.Fills, 1) {
		f.Addf("/volume_ml", volume, "the %s holds %.6g mL, not %.6g: was it another tool? If it was filled %d times, say so in \"fills\", or log each fill", tool, tool.CapacityML, volume, fills)
		return out, false
	}
	// Nobody says how the fills were shared out: where they could have been fewer they
	// are taken for about equal.
	if n := min(e.Fills, int(volume/step+1e-9)); n > fills {
		full = math.Min(full, max(tool.Round(volume/float64(n)), step))
	}
	for rest := volume; rest > 1e-9*volume; rest -= full {
		part, err := nearLine(tool, math.Min(rest, full))
		if err != nil {
			f.Add("", err)
			return out, false
		}
		out.parts = append(out.parts, part)
	}
	_, u := volumetric.Sum(out.parts)
	out.u, out.ofKit = u.Combined(), true
	if near := tool.Round(volume); math.Abs(near-volume) > 1e-6*step {
		out.questions = append(out.questions, offGraduation(tool, volume))
	}
	return out, true
}

// noTool tells how well the volume of a pour is taken to be known where none of the
// trial's tools is named for it: better, it may be, than with the one that was used.
func noTool(named string) calc.Warning {
	const taken = "the volume is taken to be known to ±%.2g %% (k = 1), a judgement, and the tool that was used may be worse"
	if named == "" {
		return calc.Warning{Code: "tool_not_named", Message: fmt.Sprintf("No tool is named: "+taken+". Name it, so that the dose has its uncertainty.", 100*blend.VolumeU)}
	}
	return calc.Warning{Code: "tool_not_named", Message: fmt.Sprintf("%q is no tool of this trial: "+taken+".", named, 100*blend.VolumeU)}
}

// nearLine is a pour of a volume that may lie between two lines of a tool's scale,
// where it is estimated by eye: its reading is then uncertain by the distance to
// the nearest line as well, rectangular (JCGM 100:2008, 4.3.7).
func nearLine(tool volumetric.Tool, volume float64) (volumetric.Pour, error) {
	near := tool.Round(volume)
	if near > tool.CapacityML {
		near -= tool.StepML()
	}
	p, err := tool.Pour(max(near, tool.StepML()))
	if err != nil {
		return p, err
	}
	p.ReadingU = math.Hypot(p.ReadingU, math.Abs(volume-p.VolumeML)/math.Sqrt(3))
	p.VolumeML = volume
	return p, nil
}

// offGraduation asks about a volume that the tool has no line for.
func offGraduation(tool volumetric.Tool, volume float64) calc.Warning {
	step := tool.StepML()
	low := math.Floor(volume/step) * step
	ask := fmt.Sprintf("was it %.6g or %.6g mL", low, low+step)
	if low == 0 {
		ask = fmt.Sprintf("was it %.6g mL, the least that it measures", step)
	}
	what := fmt.Sprintf("is between two lines of the %s (every %.6g mL)", tool, step)
	if tool.GraduationML == 0 {
		what = fmt.Sprintf("is no whole number of fills of the %s (%.6g mL)", tool, step)
	}
	return calc.Warning{Code: "off_graduation", Message: fmt.Sprintf(
		"%.6g mL %s: %s? It is kept as told, with an uncertainty for what was estimated by eye; if it was otherwise, undo it and log it again.", volume, what, ask)}
}

// settlingMinutes is how soon after blending a reading is marked to be repeated:
// within it the pigments and the sulphur dioxide of two wines have hardly met. A
// judgement, no source.
const settlingMinutes = 60

// minutesSince is how long after a pour a glass was read: by the times that are
// told for both, or where none is told for either by when they were recorded. It is
// nil where there was no pour, one of the two alone is told, a date stands for a
// time, or the pour comes later.
func minutesSince(pour, reading LogEntry) *float64 {
	from, to := pour.At, reading.TakenAt
	if from == nil && to == nil {
		from, to = &pour.RecordedAt, &reading.RecordedAt
	}
	if from == nil || to == nil || from.IsZero() || to.IsZero() || from.Midnight() || to.Midnight() {
		return nil
	}
	m := to.Sub(from.Time).Minutes()
	if m < 0 {
		return nil
	}
	return &m
}

// Midnight says that a time may be a date alone: see ParseInstant.
func (i Instant) Midnight() bool { return i.Equal(i.Truncate(24 * time.Hour)) }

// suspect adds the warnings of a measurement: what gives reason to doubt it, and
// that the ladder cannot learn from it. A suspicion may take milliseconds, so
// they are looked for only where they are shown.
func (e *Logged) suspect() {
	if e.Kind != Measuring {
		return
	}
	e.Warnings = append(e.Warnings, Suspicions(Other, Reading{Measurement: e.Measurement, Circumstances: e.Circumstances, RecordedAt: e.RecordedAt}, nil)...)
	minutes, source := e.MinutesSinceBlending, "after blending"
	if minutes == nil {
		minutes, source = e.sincePour, "after the last pour, by the times in the log"
	}
	if minutes != nil && *minutes < settlingMinutes {
		e.Warnings = append(e.Warnings, calc.Warning{
			Code:    "read_again_next_day",
			Message: fmt.Sprintf("Glass %s was read %.0f minutes %s, before its colour has settled: keep it closed and cool, and read it again the next day. This reading is kept.", e.Glass, *minutes, source),
		})
	}
	if e.PouredTotalML == 0 {
		e.Warnings = append(e.Warnings, calc.Warning{
			Code:    "base_alone",
			Message: fmt.Sprintf("Glass %s held base alone when it was read, so the ladder learns nothing from this reading: it is kept. Record it as a reading of the base wine.", e.Glass),
		})
	}
}
