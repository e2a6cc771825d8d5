// Package shop reads the shop file: the saws, blades and habits that a request
// need not repeat.
package shop

import (
	"crypto/sha256"
	_ "embed"
	"fmt"
	"slices"

	"resawd/calc/length"
)

// Shop is everything a shop file says.
type Shop struct {
	// Unit of the file's lengths that have none of their own
	Units string `json:"units" yaml:"units" validate:"required,oneof=in mm"`
	// What the shop calls itself
	Name string `json:"name" yaml:"name" validate:"required,max=100"`
	// ISO 4217 code of every price
	Currency string `json:"currency" yaml:"currency" validate:"required,iso4217"`
	// The saw of requests that name none
	DefaultSaw string `json:"default_saw" yaml:"default_saw" validate:"required"`
	// The fixing of requests that name none
	DefaultFixing string `json:"default_fixing" yaml:"default_fixing" validate:"required"`
	// The saws
	Saws []Saw `json:"saws" yaml:"saws" validate:"required,min=1,max=100,unique=Name,dive"`
	// The blades
	Blades []Blade `json:"blades" yaml:"blades" validate:"required,min=1,max=500,unique=Name,dive"`
	// The ways to fix a board to its fence
	Fixings []Fixing `json:"fixings" yaml:"fixings" validate:"required,min=1,max=50,unique=Name,dive"`
	// The thinnest leaf the shop trusts itself to saw
	SmallestLeaf *length.Length `json:"smallest_leaf" yaml:"smallest_leaf" validate:"required,gt=0,within=..1in"`
	// The smallest board or billet that the shop thinks safe to rip and resaw
	SmallestBillet Billet `json:"smallest_billet" yaml:"smallest_billet"`
	// How far the blade stays off metal in the board
	MetalClearance *length.Length `json:"metal_clearance" yaml:"metal_clearance" validate:"required,gte=0,within=..4in"`
	// The air of the shop, which sets the moisture of its wood; absent if nobody measures it
	Climate Climate `json:"climate,omitzero" yaml:"climate"`
	// When to clean, and what else the saw needs
	Care Care `json:"care" yaml:"care"`
	// What an hour costs
	Rates Rates `json:"rates,omitzero" yaml:"rates"`
	// What the file says that hardly any shop can have, such as a blade a hundredth of a millimetre thick: a figure may be in the wrong unit
	Warnings []string `json:"warnings" yaml:"-"`
	// Whether this is the built-in demo shop, or a copy of its file as it is
	Demo bool `json:"demo" yaml:"-"`

	digest [sha256.Size]byte
}

// Digest identifies the shop file.
func (s *Shop) Digest() []byte { return s.digest[:] }

// Saw is a bandsaw with its carriage.
type Saw struct {
	// Name that requests use
	Name string `json:"name" yaml:"name" validate:"required,max=60"`
	// Diameter of the driven wheel
	WheelDiameter *length.Length `json:"wheel_diameter,omitzero" yaml:"wheel_diameter" validate:"required_without=BladeSpeed,excluded_with=BladeSpeed,omitempty,gt=0,within=..3m"`
	// Turns of the driven wheel a minute
	RPM *float64 `json:"rpm,omitzero" yaml:"rpm" validate:"required_with=WheelDiameter,excluded_with=BladeSpeed,omitempty,gt=0,lte=10000"`
	// Blade speed in ft/min with inch units, m/min with mm, in place of wheel and rpm
	BladeSpeed *float64 `json:"blade_speed,omitzero" yaml:"blade_speed" validate:"omitempty,gt=0,lte=20000"`
	// Travel of the screw in one turn
	Lead *length.Length `json:"lead" yaml:"lead" validate:"required,gt=0,within=..1m"`
	// Marks around the dial
	DivisionsPerTurn *int `json:"divisions_per_turn" yaml:"divisions_per_turn" validate:"required,gte=1,lte=10000"`
	// Dial travel lost on reversing
	Backlash *length.Length `json:"backlash" yaml:"backlash" validate:"required,gte=0,within=..1in"`
	// Travel of the screw from end to end
	Travel *length.Length `json:"travel" yaml:"travel" validate:"required,gt=0,within=..10m"`
	// The tallest board the saw takes
	CuttingHeight *length.Length `json:"cutting_height" yaml:"cutting_height" validate:"required,gt=0,within=..3m"`
	// Length of the rail, which carries the carriage and all its travel
	RailLength *length.Length `json:"rail_length" yaml:"rail_length" validate:"required,gt=0,within=..30m"`
	// The widest blade that the saw takes; absent if nobody knows
	WidestBlade *length.Length `json:"widest_blade,omitzero" yaml:"widest_blade" validate:"omitempty,gt=0,within=..12in"`
	// The blade it usually wears
	DefaultBlade string `json:"default_blade" yaml:"default_blade" validate:"required"`
}

// Blade is a blade as sold and as measured.
type Blade struct {
	// Name that requests use
	Name string `json:"name" yaml:"name" validate:"required,max=60"`
	// Width from the tooth tips to the back
	Width *length.Length `json:"width" yaml:"width" validate:"required,gt=0,within=..12in"`
	// Thickness of the steel
	BodyThickness *length.Length `json:"body_thickness" yaml:"body_thickness" validate:"required,gt=0,within=..1/4in"`
	// Wood turned to dust by one pass
	Kerf *length.Length `json:"kerf" yaml:"kerf" validate:"required,gt=0,within=..1in,gtefield=BodyThickness"`
	// Whether the kerf is as sold or as measured
	KerfBasis string `json:"kerf_basis" yaml:"kerf_basis" validate:"required,oneof=nominal measured"`
	// Day on which the kerf was measured
	MeasuredOn string `json:"measured_on,omitzero" yaml:"measured_on" validate:"required_if=KerfBasis measured,excluded_unless=KerfBasis measured,omitempty,datetime=2006-01-02"`
	// Area that it had sawn by then, since it was new or last sharpened, in square units; absent if nobody knows
	MeasuredAfterArea *float64 `json:"measured_after_area,omitzero" yaml:"measured_after_area" validate:"excluded_unless=KerfBasis measured,omitempty,gte=0,lte=1000000000000"`
	// Teeth per inch
	TPI *float64 `json:"tpi" yaml:"tpi" validate:"required,gt=0,lte=50"`
	// Form of the teeth
	ToothForm string `json:"tooth_form" yaml:"tooth_form" validate:"required,oneof=standard skip hook"`
	// Whether the teeth are carbide-tipped
	Carbide bool `json:"carbide" yaml:"carbide"`
	// Price of a new one
	Price *float64 `json:"price,omitzero" yaml:"price" validate:"required,gte=0,lte=1000000"`
	// Area that it saws before it is dull, in square units
	LifeArea *float64 `json:"life_area" yaml:"life_area" validate:"required,gt=0,lte=1000000000000"`
}

// Fixing is a way to fix a board to its fence.
type Fixing struct {
	// Name that requests use
	Name string `json:"name" yaml:"name" validate:"required,max=60"`
	// Board thickness it needs for itself
	HoldBack *length.Length `json:"hold_back" yaml:"hold_back" validate:"required,gte=0,within=..12in"`
	// How deep its metal reaches into the board
	MetalDepth *length.Length `json:"metal_depth" yaml:"metal_depth" validate:"required,gte=0,within=..12in"`
	// The longest board it holds; absent for any
	Longest *length.Length `json:"longest,omitzero" yaml:"longest" validate:"omitempty,gt=0,within=..30m"`
}

// Billet is the size of a piece along its grain and across.
type Billet struct {
	// Length along the grain
	Length *length.Length `json:"length" yaml:"length" validate:"required,gte=0,within=..3m"`
	// Width across the grain
	Width *length.Length `json:"width" yaml:"width" validate:"required,gte=0,within=..3m"`
}

// Care is when a run stops for cleaning, whichever comes first, and what else the
// saw needs.
type Care struct {
	// Number of cuts between two cleanings of wheels and rail
	CleanEvery *int `json:"clean_every" yaml:"clean_every" validate:"required,gte=1,lte=10000"`
	// Sawn area between two cleanings, in square units; absent if only the cuts count
	CleanArea *float64 `json:"clean_area,omitzero" yaml:"clean_area" validate:"omitempty,gt=0,lte=10000000000"`
	// What else the saw needs, and when
	Intervals []Interval `json:"intervals,omitzero" yaml:"intervals" validate:"omitempty,max=50,unique=Name,dive"`
}

// Climate is the air of the shop.
type Climate struct {
	// Temperature in degrees Celsius
	TemperatureC *float64 `json:"temperature_c,omitzero" yaml:"temperature_c" validate:"required_with=HumidityPct,omitempty,gte=-1.1,lte=132.2"`
	// Relative humidity in percent
	HumidityPct *float64 `json:"humidity_pct,omitzero" yaml:"humidity_pct" validate:"required_with=TemperatureC,omitempty,gte=5,lte=95"`
}

// Interval is a thing to care for, due by whichever comes first.
type Interval struct {
	// What to do
	Name string `json:"name" yaml:"name" validate:"required,max=60"`
	// Number of cuts until it is due
	Cuts *int `json:"cuts,omitzero" yaml:"cuts" validate:"required_without_all=Area Hours,omitempty,gte=1,lte=1000000000"`
	// Sawn area until it is due, in square units
	Area *float64 `json:"area,omitzero" yaml:"area" validate:"omitempty,gt=0,lte=10000000000"`
	// Hours of running until it is due
	Hours *float64 `json:"hours,omitzero" yaml:"hours" validate:"omitempty,gt=0,lte=1000000"`
}

// Rates are the costs of an hour.
type Rates struct {
	// Labour an hour, in the currency
	LabourPerHour *float64 `json:"labour_per_hour" yaml:"labour_per_hour" validate:"required,gte=0,lte=100000"`
	// Rent, power and the rest an hour, in the currency
	OverheadPerHour *float64 `json:"overhead_per_hour" yaml:"overhead_per_hour" validate:"required,gte=0,lte=100000"`
}

//go:embed demo.yaml
var demo []byte

// Demo returns the built-in demo shop.
func Demo() (*Shop, error) {
	s, err := Parse(demo)
	if err != nil {
		return nil, fmt.Errorf("the built-in demo shop: %w", err)
	}
	return s, nil
}

// WithoutPrices returns the shop without what it pays and charges.
func (s *Shop) WithoutPrices() *Shop {
	bare := *s
	bare.Rates = Rates{}
	bare.Blades = slices.Clone(s.Blades)
	for i := range bare.Blades {
		bare.Blades[i].Price = nil
	}
	return &bare
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

// NameOf says what a pointer to a name in the shop belongs to: a saw, a blade, a
// fixing, or the shop itself.
func (s *Shop) NameOf(name *string) string {
	for i := range s.Saws {
		if name == &s.Saws[i].Name {
			return "the saw " + *name
		}
	}
	for i := range s.Blades {
		if name == &s.Blades[i].Name {
			return "the blade " + *name
		}
	}
	for i := range s.Fixings {
		if name == &s.Fixings[i].Name {
			return "the fixing " + *name
		}
	}
	return "the shop file"
}

func find[T any](list []T, nameOf func(*T) string, name string) (*T, bool) {
	for i := range list {
		if nameOf(&list[i]) == name {
			return &list[i], true
		}
	}
	return nil, false
}
