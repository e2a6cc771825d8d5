package api

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// link is a line of the start page.
type link struct{ Path, Text string }

// demoRun is a run sheet to look at.
const demoRun = "/v1/run?board_name=demo&board_species=walnut,%20black&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=12&skim=0.03&fixing=glue"

// startPage never changes.
var startPage = func() []byte {
	body, err := page("start.html", []link{
		{demoRun + "&format=html", "The run sheet of a demo board, to print"},
		{demoRun + "&format=svg", "Its drawing"},
		{demoRun + "&format=csv", "Its cuts as CSV, for a spreadsheet"},
		{demoRun + "&format=json", "All of it as JSON"},
		{"/docs", "Documentation of the API"},
		{"/openapi.json", "The same as an OpenAPI document"},
		{"/v1/shop", "The shop file: saws, blades and fixings"},
		{"/v1/species", "The species there are"},
		{"/metrics", "Metrics"},
	})
	if err != nil {
		panic(err) // the template and what fills it are constants
	}
	return body
}()

// showStart answers the start page, whatever the caller accepts.
func showStart(c echo.Context) error { return send(c, typeHTML, startPage) }

// showProblemType explains a type of problem, in plain text or as a page.
func showProblemType(c echo.Context) error {
	for _, t := range problemTypes {
		if t.slug != c.Param("type") {
			continue
		}
		offers := []form{{name: "text", mediaType: formText.mediaType}, {name: "html", mediaType: typeHTML}}
		if f, ok := negotiate(c.Request().Header.Get(echo.HeaderAccept), offers); !ok || f.name == "text" {
			return c.String(http.StatusOK, t.title+"\n\n"+t.about+"\n")
		}
		body, err := page("problem.html", struct {
			Title, Slug, About string
			Status             int
		}{t.title, t.slug, t.about, t.status})
		if err != nil {
			return err
		}
		return send(c, typeHTML, body)
	}
	return echo.ErrNotFound
}
