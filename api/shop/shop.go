// Package shop reads the shop file: the saws, blades and habits that a request
// need not repeat.
package shop

import (
	_ "embed"
	"fmt"

	"resawd/calc/length"
)

// Shop is everything a shop file says.
type Shop struct {
	Units          string         `json:"units" yaml:"units" validate:"required,oneof=in mm" example:"in"`               // Unit of bare lengths
	Name           string         `json:"name" yaml:"name" validate:"required,max=100" example:"Demo shop"`              // What the shop calls itself
	Currency       string         `json:"currency" yaml:"currency" validate:"required,iso4217" example:"USD"`            // ISO 4217 code of every price
	DefaultSaw     string         `json:"default_saw" yaml:"default_saw" validate:"required" example:"bench"`            // The saw of requests that name none
	DefaultFixing  string         `json:"default_fixing" yaml:"default_fixing" validate:"required" example:"tape"`       // The fixing of requests that name none
	Saws           []Saw          `json:"saws" yaml:"saws" validate:"required,min=1,max=100,unique=Name,dive"`           // The saws
	Blades         []Blade        `json:"blades" yaml:"blades" validate:"required,min=1,max=500,unique=Name,dive"`       // The blades
	Fixings        []Fixing       `json:"fixings" yaml:"fixings" validate:"required,min=1,max=50,unique=Name,dive"`      // The ways to fix a board to its fence
	SmallestLeaf   *length.Length `json:"smallest_leaf" yaml:"smallest_leaf" validate:"required,gt=0,within=..1in"`      // The thinnest leaf the shop trusts itself to saw
	SmallestBillet Billet         `json:"smallest_billet" yaml:"smallest_billet"`                                        // The smallest board or billet that the shop thinks safe to rip and resaw
	MetalClearance *length.Length `json:"metal_clearance" yaml:"metal_clearance" validate:"required,gte=0,within=..4in"` // How far the blade stays off metal in the board
	Care           Care           `json:"care" yaml:"care"`                                                              // When to clean
	Rates          Rates          `json:"rates" yaml:"rates"`                                                            // What an hour costs
	Demo           bool           `json:"demo" yaml:"-"`                                                                 // Whether this is the built-in demo shop
}

// Saw is a bandsaw with its carriage.
type Saw struct {
	Name             string         `json:"name" yaml:"name" validate:"required,max=60" example:"bench"`                                                                              // Name that requests use
	WheelDiameter    *length.Length `json:"wheel_diameter,omitzero" yaml:"wheel_diameter" validate:"required_without=BladeSpeed,excluded_with=BladeSpeed,omitempty,gt=0,within=..3m"` // Diameter of the driven wheel
	RPM              *float64       `json:"rpm,omitzero" yaml:"rpm" validate:"required_with=WheelDiameter,excluded_with=BladeSpeed,omitempty,gt=0,lte=10000"`                         // Turns of the driven wheel a minute
	BladeSpeed       *float64       `json:"blade_speed,omitzero" yaml:"blade_speed" validate:"omitempty,gt=0,lte=20000"`                                                              // Blade speed, ft/min with inch units, m/min with mm, in place of wheel and rpm
	Lead             *length.Length `json:"lead" yaml:"lead" validate:"required,gt=0,within=..1m"`                                                                                    // Travel of the screw in one turn
	DivisionsPerTurn *int           `json:"divisions_per_turn" yaml:"divisions_per_turn" validate:"required,gte=1,lte=10000"`                                                         // Marks around the dial
	Backlash         *length.Length `json:"backlash" yaml:"backlash" validate:"required,gte=0,within=..1in"`                                                                          // Dial travel lost on reversing
	Travel           *length.Length `json:"travel" yaml:"travel" validate:"required,gt=0,within=..10m"`                                                                               // Travel of the screw from end to end
	CuttingHeight    *length.Length `json:"cutting_height" yaml:"cutting_height" validate:"required,gt=0,within=..3m"`                                                                // The tallest board the saw takes
	RailLength       *length.Length `json:"rail_length" yaml:"rail_length" validate:"required,gt=0,within=..30m"`                                                                     // Length of the rail, which carries the carriage and all its travel
	WidestBlade      *length.Length `json:"widest_blade,omitzero" yaml:"widest_blade" validate:"omitempty,gt=0,within=..12in"`                                                        // The widest blade that the saw takes; absent where nobody says
	DefaultBlade     string         `json:"default_blade" yaml:"default_blade" validate:"required" example:"half-inch"`                                                               // The blade it usually wears
}

// Blade is a blade as sold and as measured.
type Blade struct {
	Name          string         `json:"name" yaml:"name" validate:"required,max=60" example:"half-inch"`                                                                                                         // Name that requests use
	Width         *length.Length `json:"width" yaml:"width" validate:"required,gt=0,within=..12in"`                                                                                                               // From tooth tips to back
	BodyThickness *length.Length `json:"body_thickness" yaml:"body_thickness" validate:"required,gt=0,within=..1/4in"`                                                                                            // Thickness of the steel
	Kerf          *length.Length `json:"kerf" yaml:"kerf" validate:"required,gt=0,within=..1in,gtefield=BodyThickness"`                                                                                           // Wood turned to dust by one pass
	KerfBasis     string         `json:"kerf_basis" yaml:"kerf_basis" validate:"required,oneof=nominal measured" example:"nominal"`                                                                               // As sold, or as measured
	MeasuredOn    string         `json:"measured_on,omitzero" yaml:"measured_on" validate:"required_if=KerfBasis measured,excluded_unless=KerfBasis measured,omitempty,datetime=2006-01-02" example:"2026-03-14"` // When the kerf was measured
	TPI           *float64       `json:"tpi" yaml:"tpi" validate:"required,gt=0,lte=50"`                                                                                                                          // Teeth per inch
	ToothForm     string         `json:"tooth_form" yaml:"tooth_form" validate:"required,oneof=standard skip hook" example:"skip"`                                                                                // Form of the teeth
	Carbide       bool           `json:"carbide" yaml:"carbide"`                                                                                                                                                  // Whether the teeth are carbide-tipped
	Price         *float64       `json:"price" yaml:"price" validate:"required,gte=0,lte=1000000"`                                                                                                                // What a new one costs
	LifeArea      *float64       `json:"life_area" yaml:"life_area" validate:"required,gt=0,lte=1000000000000"`                                                                                                   // Area it saws before it is dull, in square units
}

// Fixing is a way to fix a board to its fence.
type Fixing struct {
	Name       string         `json:"name" yaml:"name" validate:"required,max=60" example:"tape"`             // Name that requests use
	HoldBack   *length.Length `json:"hold_back" yaml:"hold_back" validate:"required,gte=0,within=..12in"`     // Board thickness it needs for itself
	MetalDepth *length.Length `json:"metal_depth" yaml:"metal_depth" validate:"required,gte=0,within=..12in"` // How deep its metal reaches into the board
	Longest    *length.Length `json:"longest,omitzero" yaml:"longest" validate:"omitempty,gt=0,within=..30m"` // The longest board it holds; absent for any
}

// Billet is the size of a piece along its grain and across.
type Billet struct {
	Length *length.Length `json:"length" yaml:"length" validate:"required,gte=0,within=..3m"` // Along the grain
	Width  *length.Length `json:"width" yaml:"width" validate:"required,gte=0,within=..3m"`   // Across it
}

// Care is when a run stops for cleaning: whichever comes first.
type Care struct {
	CleanEvery *int     `json:"clean_every" yaml:"clean_every" validate:"required,gte=1,lte=10000"`              // Cuts between two cleanings of wheels and rail
	CleanArea  *float64 `json:"clean_area,omitzero" yaml:"clean_area" validate:"omitempty,gt=0,lte=10000000000"` // Sawn area between two cleanings, in square units; absent where only the cuts count
}

// Rates are the costs of an hour.
type Rates struct {
	LabourPerHour   *float64 `json:"labour_per_hour" yaml:"labour_per_hour" validate:"required,gte=0,lte=100000"`     // Labour, in the currency
	OverheadPerHour *float64 `json:"overhead_per_hour" yaml:"overhead_per_hour" validate:"required,gte=0,lte=100000"` // Rent, power and the rest, in the currency
}

//go:embed demo.yaml
var demo []byte

// Demo gives the built-in demo shop.
func Demo() (*Shop, error) {
	s, err := Parse(demo)
	if err != nil {
		return nil, fmt.Errorf("the built-in demo shop: %w", err)
	}
	s.Demo = true
	return s, nil
}

// Saw finds a saw by name.
func (s *Shop) Saw(name string) (*Saw, bool) {
	return find(s.Saws, func(w *Saw) string { return w.Name }, name)
}

// Blade finds a blade by name.
func (s *Shop) Blade(name string) (*Blade, bool) {
	return find(s.Blades, func(b *Blade) string { return b.Name }, name)
}

// Fixing finds a fixing by name.
func (s *Shop) Fixing(name string) (*Fixing, bool) {
	return find(s.Fixings, func(f *Fixing) string { return f.Name }, name)
}

func find[T any](list []T, nameOf func(*T) string, name string) (*T, bool) {
	for i := range list {
		if nameOf(&list[i]) == name {
			return &list[i], true
		}
	}
	return nil, false
}
