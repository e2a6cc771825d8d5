package api

import (
	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/openapi"
)

// document serves the API document, and the page made from it.
func (s *Server) document() {
	s.get("/openapi.json", func(c echo.Context) error { return send(c, "application/json", openapi.JSON) })
	s.get("/openapi.yaml", func(c echo.Context) error { return send(c, "application/yaml", openapi.YAML) })
	s.get("/docs", showDocs)
}

func showDocs(c echo.Context) error {
	page, err := openapi.Page()
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentSecurityPolicy, openapi.PagePolicy)
	return send(c, "text/html; charset=utf-8", page)
}

// resource serves a GET under /v1 that takes no fields and answers in JSON only; it
// refuses query fields and other forms.
func (s *Server) resource(path string, handler echo.HandlerFunc) {
	s.get(path, func(c echo.Context) error {
		query, err := endpoint.Pairs(c.Request().URL.RawQuery)
		if err != nil {
			return endpoint.Fail(endpoint.BadRequest, "%s", err)
		}
		if len(query) > 0 {
			return endpoint.Fail(endpoint.BadRequest, "%s: this address takes no query fields", endpoint.Clip([]byte(query[0].Name)))
		}
		accept := c.Request().Header.Get(echo.HeaderAccept)
		if _, err := (endpoint.Control{}).Form(accept, []endpoint.Form{endpoint.JSON}); err != nil {
			return err
		}
		return handler(c)
	})
}
