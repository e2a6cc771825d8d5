package feed

import (
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Speed is the feed: how much of the board passes the blade in a minute.
type Speed length.Length

// BladeSpeed is how much of the blade passes the board in a minute.
type BladeSpeed length.Length

// Limits: wider than anything on a saw bench, so that what lies outside is a
// slip of units. A blade speed of 6000 m/min is 100 m/s.
const (
	MaxSpeed      = Speed(100 * length.Metre)
	MinTPI        = 0.1
	MaxTPI        = 100.0
	minBladeSpeed = BladeSpeed(length.Metre)
	maxBladeSpeed = BladeSpeed(6_000 * length.Metre)
	maxWheel      = 10 * length.Metre
	maxRPM        = 100_000.0
	maxGulletMM2  = 100_000.0
	maxBiteMM     = 100_000.0
)

// In gives s as a number of units a minute.
//
// Source: definition.
func (s Speed) In(unit length.Length) float64 { return length.Length(s).In(unit) }

// In gives v as a number of units a minute.
//
// Source: definition.
func (v BladeSpeed) In(unit length.Length) float64 { return length.Length(v).In(unit) }

// RimSpeed gives the speed of a blade from the diameter of the wheels and their
// turns a minute: v = pi D rpm.
//
// Source: definition: the rim of the driven wheel; the formula of saw theory,
// from memory.
// Valid: 0 < wheel diameter <= 10 m, 0 < rpm <= 100 000, and a speed from 1 to
// 6000 m/min.
// Accuracy: the thickness of the blade, about 0.5 mm in the radius, is left out.
func RimSpeed(wheelDiameter length.Length, rpm float64) (BladeSpeed, error) {
	if err := fault.First(
		fault.Above("wheel diameter", wheelDiameter, 0, maxWheel),
		fault.Above("rpm", rpm, 0, maxRPM),
	); err != nil {
		return 0, err
	}
	v := BladeSpeed(math.Round(math.Pi * float64(wheelDiameter) * rpm))
	if err := checkSpeed(v); err != nil {
		return 0, err
	}
	return v, nil
}

// PerTooth gives the feed per tooth, how far the board moves, in millimetres, while
// one tooth pitch of the blade passes: b = f p / v.
//
// Source: the formula of saw theory, from memory; it follows from the
// definitions of feed, blade speed and pitch.
// Valid: 0 < feed <= 100 m/min, 1 m/min <= blade speed <= 6000 m/min,
// 0.1 <= teeth per inch <= 100.
func PerTooth(f Speed, bladeSpeed BladeSpeed, tpi float64) (mm float64, err error) {
	if err := fault.First(checkFeed("feed", f), checkSpeed(bladeSpeed), checkTPI(tpi)); err != nil {
		return 0, err
	}
	pitch := length.Inch.In(length.Millimetre) / tpi
	return float64(f) * pitch / float64(bladeSpeed), nil
}

// TeethInCut gives how many teeth are in stock of a height at once: h / p.
//
// Source: definition.
// Valid: 0 < stock height <= length.Max, 0.1 <= teeth per inch <= 100.
func TeethInCut(stockHeight length.Length, tpi float64) (float64, error) {
	if err := fault.First(checkHeight(stockHeight), checkTPI(tpi)); err != nil {
		return 0, err
	}
	return stockHeight.In(length.Inch) * tpi, nil
}

// GulletFeedIndex gives the area of solid wood that a gullet takes up on its way
// through the stock, over the area of the gullet, both seen from the side: b h / A.
// The area is in square millimetres.
//
// Source: the formula of saw theory, from memory.
// Valid: 0 <= feed per tooth <= 100 000 mm, 0 < stock height <= length.Max,
// 0 < gullet area <= 100 000 mm2.
func GulletFeedIndex(feedPerToothMM float64, stockHeight length.Length, gulletAreaMM2 float64) (float64, error) {
	if err := fault.First(
		fault.Within("feed per tooth", feedPerToothMM, 0, maxBiteMM),
		checkHeight(stockHeight),
		fault.Above("gullet area", gulletAreaMM2, 0, maxGulletMM2),
	); err != nil {
		return 0, err
	}
	return feedPerToothMM * stockHeight.In(length.Millimetre) / gulletAreaMM2, nil
}

// SawnAreaPerMinute gives the area of one sawn face, in square millimetres,
// that a minute of cutting makes: f h.
//
// Source: definition.
// Valid: 0 < feed <= 100 m/min, 0 < stock height <= length.Max.
func SawnAreaPerMinute(f Speed, stockHeight length.Length) (mm2 float64, err error) {
	if err := fault.First(checkFeed("feed", f), checkHeight(stockHeight)); err != nil {
		return 0, err
	}
	return areaMM2(length.Length(f), stockHeight), nil
}

func areaMM2(a, b length.Length) float64 {
	return a.In(length.Millimetre) * b.In(length.Millimetre)
}

func checkFeed(quantity string, f Speed) error {
	return fault.Above(quantity, f, 0, MaxSpeed)
}

func checkSpeed(v BladeSpeed) error {
	return fault.Within("blade speed", v, minBladeSpeed, maxBladeSpeed)
}

func checkTPI(tpi float64) error { return fault.Within("tpi", tpi, MinTPI, MaxTPI) }

func checkHeight(h length.Length) error { return fault.Above("stock height", h, 0, length.Max) }
