package api

import (
	"net/http"
	"path"
	"strconv"
	"strings"
	"sync"

	"github.com/cespare/xxhash/v2"
	"github.com/labstack/echo/v4"

	"resawd/api/sheet"
)

// buffer holds an answer while it is sent.
type buffer struct{ bytes []byte }

// maxKept is the capacity of the largest buffer that goes back to the pool.
const maxKept = 64 << 10

// bufferPool keeps buffers from one request to the next.
type bufferPool struct{ pool sync.Pool }

var buffers bufferPool

// Get returns a buffer for the caller alone.
func (p *bufferPool) Get() *buffer {
	if b, ok := p.pool.Get().(*buffer); ok {
		return b
	}
	return &buffer{make([]byte, 0, 4096)}
}

// Put takes a buffer back once its answer has been sent.
func (p *bufferPool) Put(b *buffer) {
	if cap(b.bytes) <= maxKept {
		p.pool.Put(b)
	}
}

// send answers with a body, compressed if the client accepts that. The answer to a GET
// carries a strong ETag, and has no body if the client already has the same one.
func send(c echo.Context, mediaType string, body []byte) error {
	describe(c, mediaType)
	h := c.Response().Header()
	tag, coded := "", compressible(c.Request(), mediaType, body)
	if c.Request().Method != http.MethodPost {
		h[echo.HeaderCacheControl] = noCache
		tag = strconv.FormatUint(xxhash.Sum64(body), 36)
		if known := c.Request().Header.Get("If-None-Match"); known != "" && (matches(known, quoted(tag, coded)) || matches(known, quoted(tag, false))) {
			h["Etag"] = []string{quoted(tag, coded)}
			return c.NoContent(http.StatusNotModified)
		}
	}
	if coded {
		body, coded = compressed(body)
	}
	if coded {
		h.Set(echo.HeaderContentEncoding, "gzip")
	}
	if tag != "" {
		h["Etag"] = []string{quoted(tag, coded)}
	}
	return c.Blob(http.StatusOK, mediaType, body)
}

// describe sets the headers that pages, drawings and workbooks need: a policy of what a
// browser may load, a name for a file.
func describe(c echo.Context, mediaType string) {
	h := c.Response().Header()
	switch mediaType {
	case sheet.TypeHTML, sheet.TypeSVG:
		if h.Get(echo.HeaderContentSecurityPolicy) == "" {
			h[echo.HeaderContentSecurityPolicy] = sheet.Policy
		}
	case sheet.TypeXLSX:
		h.Set(echo.HeaderContentDisposition, `attachment; filename="`+path.Base(c.Path())+`.xlsx"`)
	}
}

// quoted is an entity tag. A compressed answer has another one than the same answer
// uncompressed.
func quoted(tag string, coded bool) string {
	if coded {
		tag += "-gzip"
	}
	return `"` + tag + `"`
}

// matches reports whether an If-None-Match header names a tag (RFC 9110 section 13.1.2:
// weak comparison).
func matches(header, tag string) bool {
	for header != "" {
		var one string
		one, header, _ = strings.Cut(header, ",")
		if one = strings.TrimSpace(one); one == "*" || strings.TrimPrefix(one, "W/") == tag {
			return true
		}
	}
	return false
}
