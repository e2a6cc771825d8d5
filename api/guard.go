package api

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/api/key"
)

// Guard says who may ask, from where and how often. The zero value lets everybody ask
// anything at any rate, and keeps the answers from pages of other origins.
type Guard struct {
	Keys           *key.Ring      // of which requests must have one; no key is needed when nil
	KeyInQuery     bool           // whether a key may also stand in the query field key
	Limiter        *key.Limiter   // of requests by each key, or by each address without one; no limit when nil
	TrustedProxies []netip.Prefix // whose X-Forwarded-For is believed
	Origins        []string       // whose pages may read the answers, such as https://shop.example
}

// contextKey is where the context of a request keeps its API key, for the log and for
// handlers.
const contextKey = "key"

// contextAddress is where the context of a request that is refused for want of a key, or
// for asking too often without one, keeps where it came from, for the log.
const contextAddress = "address"

// guard asks for a key where a route needs one, and keeps callers to their rate.
func (s *Server) guard(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		role := roleFor(c.Request().Method, c.Path())
		if role == "" {
			return next(c)
		}
		k, refused := s.identify(c.Request())
		if k != nil {
			c.Set(contextKey, k)
		}
		tooMany := s.pace(c.Request(), k)
		if k == nil && (tooMany != nil || refused != nil) {
			c.Set(contextAddress, s.address(c.Request()))
		}
		if tooMany != nil {
			return tooMany
		}
		if refused != nil {
			c.Response().Header().Set(echo.HeaderWWWAuthenticate, "Bearer")
			return refused
		}
		if k != nil {
			if err := lacks(k, role); err != nil {
				return err
			}
		}
		return next(c)
	}
}

// lacks refuses what a key's roles do not allow.
func lacks(k *key.Key, role key.Role) error {
	if k.May(role) {
		return nil
	}
	return endpoint.Fail(endpoint.Forbidden, "this key lacks the role %s", role)
}

// roleFor is the role that a route needs; it is empty for a route that is open to
// everybody.
func roleFor(method, route string) key.Role {
	switch {
	case method == http.MethodOptions: // a preflight request has no key
		return ""
	case route == "/metrics":
		return key.Metrics
	case route == "/v1/price":
		return key.Prices
	case strings.HasPrefix(route, "/v1/"):
		return key.Use
	}
	return ""
}

// identify finds the key of a request, and removes it from the query. A service without
// keys returns nil, which is no refusal.
func (s *Server) identify(r *http.Request) (*key.Key, *endpoint.Failure) {
	ring := s.keys.Load()
	if ring == nil {
		return nil, nil
	}
	secret, given := key.Bearer(r.Header.Get(echo.HeaderAuthorization))
	if s.KeyInQuery {
		if inQuery, ok := takeKey(r); ok {
			if given {
				return nil, endpoint.Fail(endpoint.Unauthorized, "a key stands in the header Authorization and another in the query: give one")
			}
			secret, given = inQuery, true
		}
	}
	if !given {
		return nil, endpoint.Fail(endpoint.Unauthorized, "no key was given: send the header Authorization: Bearer KEY")
	}
	k, ok := ring.Find(secret)
	switch {
	case !ok:
		return nil, endpoint.Fail(endpoint.Unauthorized, "this service does not know the key that was given")
	case k.Expired(time.Now()):
		return nil, endpoint.Fail(endpoint.Unauthorized, "the key that was given has expired")
	}
	return k, nil
}

// takeKey removes the field key from the query and leaves the order of the others as it
// is.
func takeKey(r *http.Request) (secret string, ok bool) {
	if !strings.Contains(r.URL.RawQuery, "key=") {
		return "", false
	}
	parts := strings.Split(r.URL.RawQuery, "&")
	i := slices.IndexFunc(parts, func(p string) bool { return strings.HasPrefix(p, "key=") })
	if i < 0 {
		return "", false
	}
	secret = r.URL.Query().Get("key")
	r.URL.RawQuery = strings.Join(slices.Delete(parts, i, i+1), "&")
	r.RequestURI = ""
	return secret, true
}

// pace refuses a request that follows too soon on others with the same key, or from the
// same address if there is no key.
func (s *Server) pace(r *http.Request, k *key.Key) error {
	if s.Limiter == nil {
		return nil
	}
	caller := "address " + s.address(r)
	if k != nil {
		caller = "key " + k.Name
	}
	if wait, ok := s.Limiter.Take(caller, time.Now()); !ok {
		return endpoint.Fail(endpoint.TooMany, "this key, or this address where there is none, asks more often than it may: ask again when Retry-After says").Again(wait)
	}
	return nil
}

// address is where a request comes from: the other end of the connection or, if that is
// a trusted proxy, the address that the proxy forwards. An IPv6 address counts as its
// /64 network, because a client usually has all of that to choose from.
func (s *Server) address(r *http.Request) string {
	host, _, _ := net.SplitHostPort(r.RemoteAddr)
	at, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for len(hops) > 0 && s.trusted(at) {
		hop, err := netip.ParseAddr(strings.TrimSpace(hops[len(hops)-1]))
		if err != nil {
			break
		}
		at, hops = hop, hops[:len(hops)-1]
	}
	at = at.Unmap()
	if network, err := at.Prefix(64); at.Is6() && err == nil {
		return network.String()
	}
	return at.String()
}

func (s *Server) trusted(at netip.Addr) bool {
	return slices.ContainsFunc(s.TrustedProxies, func(p netip.Prefix) bool { return p.Contains(at.Unmap()) })
}

// mayRead reports whether a request may see what needs a role. A service without keys
// keeps nothing from anybody.
func mayRead(c echo.Context, role key.Role) bool {
	k, ok := c.Get(contextKey).(*key.Key)
	return !ok || k.May(role)
}

// corsMaxAge is how many seconds a browser may keep the answer to a preflight request.
const corsMaxAge = "600"

// cors lets pages of the configured origins read the answers.
func (s *Server) cors(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if len(s.Origins) == 0 {
			return next(c)
		}
		h, origin := c.Response().Header(), c.Request().Header.Get(echo.HeaderOrigin)
		h.Add(echo.HeaderVary, echo.HeaderOrigin)
		if !slices.Contains(s.Origins, origin) {
			return next(c)
		}
		h.Set(echo.HeaderAccessControlAllowOrigin, origin)
		h.Set(echo.HeaderAccessControlExposeHeaders, "ETag, Retry-After, X-Request-Id")
		if c.Request().Method == http.MethodOptions {
			h.Set(echo.HeaderAccessControlAllowMethods, "GET, HEAD, POST")
			h.Set(echo.HeaderAccessControlAllowHeaders, "Authorization, Content-Type, Accept, If-None-Match, X-Request-Id")
			h.Set(echo.HeaderAccessControlMaxAge, corsMaxAge)
		}
		return next(c)
	}
}
