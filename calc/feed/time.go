package feed

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Limits of a run: ten thousand leaves and a truing cut; a day for one thing.
const (
	maxCuts    = 10_001
	maxSeconds = 86_400.0
)

// Pass is one cut along the board.
type Pass struct {
	CutLength length.Length
	RunIn     length.Length // travel at Feed before the wood
	RunOut    length.Length // travel at Feed after it
	Feed      Speed
}

// Travel gives how far the carriage goes in a pass.
//
// Source: definition.
// Valid: a pass that [CutSeconds] takes.
func (p Pass) Travel() length.Length { return p.CutLength + p.RunIn + p.RunOut }

// CutSeconds gives how long one pass lasts, run-in and run-out at the same feed.
//
// Source: definition: distance over speed.
// Valid: 0 < cut length, 0 <= run-in and run-out, each <= length.Max;
// 0 < feed <= 100 m/min.
func CutSeconds(p Pass) (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	return seconds(p.Travel(), p.Feed), nil
}

// Job is a run of cuts that are all alike. What takes no seconds is not counted.
type Job struct {
	Pass
	CutCount      int
	ReturnFeed    Speed   // of the carriage on its way back; 0: not counted
	HandleSeconds float64 // each cut: catch, number and measure the leaf
	IndexSeconds  float64 // each cut: unlock, dial, lock and read
	SetupSeconds  float64 // once
	CleanCount    int     // stops to clean
	CleanSeconds  float64 // each of them
}

// Breakdown is where the seconds of a run go.
type Breakdown struct {
	CuttingSeconds   float64
	ReturningSeconds float64
	HandlingSeconds  float64
	IndexingSeconds  float64
	SettingUpSeconds float64
	CleaningSeconds  float64
}

// Total gives the seconds of the whole run.
//
// Source: definition.
func (b Breakdown) Total() float64 {
	return b.CuttingSeconds + b.ReturningSeconds + b.HandlingSeconds +
		b.IndexingSeconds + b.SettingUpSeconds + b.CleaningSeconds
}

// RunTime gives where the time of a run goes: the carriage returns after every
// cut, and the dial is set before every cut.
//
// Source: definition.
// Valid: a pass that [CutSeconds] takes; 1 <= cut count <= 10 001; 0 <= return
// feed <= 100 m/min; 0 <= clean count <= cut count; 0 <= every other number of
// seconds <= 86 400.
func RunTime(job Job) (Breakdown, error) {
	if err := job.check(); err != nil {
		return Breakdown{}, err
	}
	cuts := float64(job.CutCount)
	b := Breakdown{
		CuttingSeconds:   cuts * seconds(job.Travel(), job.Feed),
		HandlingSeconds:  cuts * job.HandleSeconds,
		IndexingSeconds:  cuts * job.IndexSeconds,
		SettingUpSeconds: job.SetupSeconds,
		CleaningSeconds:  float64(job.CleanCount) * job.CleanSeconds,
	}
	if job.ReturnFeed > 0 {
		b.ReturningSeconds = cuts * seconds(job.Travel(), job.ReturnFeed)
	}
	return b, nil
}

// CleanCount gives how many stops to clean lie between the cuts of a run when
// one is due after so many cuts; 0 is never. After the last cut the run is over.
//
// Source: definition.
// Valid: 1 <= cut count <= 10 001, 0 <= clean every <= 10 001.
func CleanCount(cutCount, cleanEvery int) (int, error) {
	err := fault.First(
		fault.Within("cut count", cutCount, 1, maxCuts),
		fault.Within("clean every", cleanEvery, 0, maxCuts),
	)
	if err != nil || cleanEvery == 0 {
		return 0, err
	}
	return (cutCount - 1) / cleanEvery, nil
}

// seconds gives how long a distance takes; a minute has sixty.
func seconds(distance length.Length, speed Speed) float64 {
	return float64(distance) / float64(speed) * 60
}

func (p Pass) check() error {
	return fault.First(
		fault.Above("cut length", p.CutLength, 0, length.Max),
		fault.Within("run in", p.RunIn, 0, length.Max),
		fault.Within("run out", p.RunOut, 0, length.Max),
		checkFeed("feed", p.Feed),
	)
}

func (job Job) check() error {
	return fault.First(
		job.Pass.check(),
		fault.Within("cut count", job.CutCount, 1, maxCuts),
		fault.Within("return feed", job.ReturnFeed, 0, MaxSpeed),
		fault.Within("handle seconds", job.HandleSeconds, 0, maxSeconds),
		fault.Within("index seconds", job.IndexSeconds, 0, maxSeconds),
		fault.Within("setup seconds", job.SetupSeconds, 0, maxSeconds),
		fault.Within("clean count", job.CleanCount, 0, job.CutCount),
		fault.Within("clean seconds", job.CleanSeconds, 0, maxSeconds),
	)
}
