package api

import (
	"net/http"
	"slices"
	"sync"

	"github.com/labstack/echo/v4"

	"resawd/api/form"
	"resawd/api/key"
	"resawd/api/sheet"
	"resawd/calc/upkeep"
	"resawd/calc/wood"
	"resawd/openapi"
)

// DemoRun asks for the run sheet of a board of the demo scenario; a format can follow.
const DemoRun = "/v1/run?board_name=walnut-1&board_species=walnut,%20black&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=12&skim=1/32&fixing=glue&run_in=2&run_out=2"

// lookAround are the links at the foot of every form.
var lookAround = []form.Link{
	{Path: DemoRun + "&format=html", Text: "The run sheet of a demo board, to print"},
	{Path: DemoRun + "&format=svg", Text: "Its drawing"},
	{Path: DemoRun + "&format=csv", Text: "Its cuts as CSV, for a spreadsheet"},
	{Path: DemoRun + "&format=json", Text: "All of it as JSON"},
	{Path: "/docs", Text: "Documentation of the API"},
	{Path: "/openapi.json", Text: "The same as an OpenAPI document"},
	{Path: "/v1/shop", Text: "The shop file: saws, blades and fixings"},
	{Path: "/v1/species", Text: "Kinds of wood"},
	{Path: "/metrics", Text: "Metrics"},
}

// firstForm is the name of the form at the root.
const firstForm = "run"

// forms are read from the published document when the first one is asked for.
var forms = sync.OnceValues(func() ([]form.Form, error) {
	paths := []string{"/v1/run", "/v1/plan"} // what most people come for
	for _, k := range Calculators() {
		if !slices.Contains(paths, k.Path) && k.Path != "/v1/batch" { // a form asks for one thing
			paths = append(paths, k.Path)
		}
	}
	return form.Read(openapi.JSON, paths)
})

// formPolicy is the Content-Security-Policy of the forms.
var formPolicy = form.Policy(sheet.StyleSource)

// showForm answers with the form of a calculator, whatever the client accepts.
func (s *Server) showForm(c echo.Context, name string) error {
	all, err := forms()
	if err != nil {
		return err
	}
	at := slices.IndexFunc(all, func(f form.Form) bool { return f.Name == name })
	if at < 0 {
		return echo.ErrNotFound
	}
	page, err := form.Page(&all[at], all, s.suggestions(), s.links())
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentSecurityPolicy, formPolicy)
	return send(c, sheet.TypeHTML, page)
}

// links are those that lead somewhere: a browser that follows one sends no key.
func (s *Server) links() []form.Link {
	return slices.DeleteFunc(slices.Clone(lookAround), func(l form.Link) bool {
		needed := roleFor(http.MethodGet, l.Path)
		return s.keys.Load() != nil && needed != "" || s.MetricsApart && needed == key.Metrics
	})
}

// suggestions are the names of the shop's saws, blades and fixings, of all species and of
// all symptoms. Where answers need a key, the shop's names are left out: anybody may see the form.
func (s *Server) suggestions() form.Names {
	names := form.Names{"symptom": upkeep.Symptoms()}
	for _, w := range wood.All() {
		names["species"] = append(names["species"], w.Name)
	}
	if s.keys.Load() != nil {
		return names
	}
	own := s.shop.Load()
	for _, w := range own.Saws {
		names["saw"] = append(names["saw"], w.Name)
	}
	for _, b := range own.Blades {
		names["blade"] = append(names["blade"], b.Name)
	}
	for _, f := range own.Fixings {
		names["fixing"] = append(names["fixing"], f.Name)
	}
	return names
}

// showScript answers with the script of the forms.
func showScript(c echo.Context) error { return send(c, "text/javascript; charset=utf-8", form.Script) }
