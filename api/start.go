package api

import (
	"resawd/api/endpoint"
	"resawd/api/sheet"

	"github.com/labstack/echo/v4"
)

// link is a line of the start page.
type link struct{ Path, Text string }

// demoRun is a run sheet to look at.
const demoRun = "/v1/run?board_name=demo&board_species=walnut,%20black&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=12&skim=0.03&fixing=glue"

// startPage never changes.
var startPage = func() []byte {
	body, err := sheet.Page("start.html", []link{
		{demoRun + "&format=html", "The run sheet of a demo board, to print"},
		{demoRun + "&format=svg", "Its drawing"},
		{demoRun + "&format=csv", "Its cuts as CSV, for a spreadsheet"},
		{demoRun + "&format=json", "All of it as JSON"},
		{"/docs", "Documentation of the API"},
		{"/openapi.json", "The same as an OpenAPI document"},
		{"/v1/shop", "The shop file: saws, blades and fixings"},
		{"/v1/species", "Kinds of wood"},
		{"/metrics", "Metrics"},
	})
	if err != nil {
		panic(err) // the template and what fills it are constants
	}
	return body
}()

// showStart answers the start page, whatever the caller accepts.
func showStart(c echo.Context) error { return send(c, sheet.TypeHTML, startPage) }

// showProblemType explains a type of problem, in plain text or as a page.
func showProblemType(c echo.Context) error {
	for _, t := range endpoint.ProblemTypes {
		if t.Slug != c.Param("type") {
			continue
		}
		offers := []endpoint.Form{{Name: "text", MediaType: endpoint.Text.MediaType}, {Name: "html", MediaType: sheet.TypeHTML}}
		if f, ok := endpoint.Negotiate(c.Request().Header.Get(echo.HeaderAccept), offers); !ok || f.Name == "text" {
			return send(c, endpoint.Text.MediaType, []byte(t.Title+"\n\n"+t.About+"\n"))
		}
		body, err := sheet.Page("problem.html", struct {
			Title, Slug, About string
			Status             int
		}{t.Title, t.Slug, t.About, t.Status})
		if err != nil {
			return err
		}
		return send(c, sheet.TypeHTML, body)
	}
	return echo.ErrNotFound
}
