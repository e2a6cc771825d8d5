package api

import (
	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/api/key"
)

// showShop answers with the shop file.
//
//	@Summary		The shop file
//	@Description	The saws, blades, fixings and habits that stand in for what a request leaves out. Lengths are in the file's own units. What the shop pays and charges is left out for a key without the role prices.
//	@ID				shop
//	@Tags			the shop
//	@Produce		json
//	@Success		200	{object}	shop.Shop
//	@Failure		500	{object}	endpoint.Problem
//	@Router			/v1/shop [get]
func (s *Server) showShop(c echo.Context) error {
	shown := s.shop.Load()
	if !mayRead(c, key.Prices) {
		shown = shown.WithoutPrices()
	}
	body := endpoint.JSONOf(shown, shown.Unit())
	return send(c, endpoint.JSON.MediaType, append(body, '\n'))
}
