package api

import (
	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
)

// showShop answers what the shop file says.
//
//	@Summary		The shop file
//	@Description	The saws, blades, fixings and habits that stand in for what a request leaves out. Lengths are in the file's own units.
//	@ID				shop
//	@Tags			the shop
//	@Produce		json
//	@Success		200	{object}	shop.Shop
//	@Failure		500	{object}	endpoint.Problem
//	@Router			/v1/shop [get]
func (s *Server) showShop(c echo.Context) error {
	body := endpoint.AppendJSON(nil, s.Shop, s.Shop.Unit())
	return send(c, endpoint.JSON.MediaType, append(body, '\n'))
}
