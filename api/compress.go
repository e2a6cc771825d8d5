package api

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"runtime"
	"strings"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/api/sheet"
)

// minCompressed is the length of the shortest answer that is worth compressing, in
// bytes.
const minCompressed = 2048

// compressors holds the gzip writers, each made when it is first needed. A writer takes
// half a megabyte, so there are few; an answer that finds none free is sent
// uncompressed.
var compressors = func() chan *gzip.Writer {
	few := make(chan *gzip.Writer, 2*runtime.GOMAXPROCS(0))
	for range cap(few) {
		few <- nil
	}
	return few
}()

// takesGzip reports whether an Accept-Encoding header accepts gzip (RFC 9110 section
// 12.5.3).
func takesGzip(header string) bool {
	others := false
	for header != "" {
		var one string
		one, header, _ = strings.Cut(header, ",")
		coding, quality, _ := strings.Cut(one, ";")
		_, q, _ := strings.Cut(quality, "=")
		wanted := endpoint.Weight(strings.TrimSpace(q)) > 0
		switch coding = strings.TrimSpace(coding); {
		case strings.EqualFold(coding, "gzip"):
			return wanted
		case coding == "*":
			others = wanted
		}
	}
	return others
}

// compressible reports whether to compress an answer: it is long enough, not a
// workbook, which is compressed already, and the client accepts gzip.
func compressible(r *http.Request, mediaType string, body []byte) bool {
	return len(body) >= minCompressed && mediaType != sheet.TypeXLSX && takesGzip(r.Header.Get(echo.HeaderAcceptEncoding))
}

// compressed compresses a body, unless all compressors are in use.
func compressed(body []byte) ([]byte, bool) {
	var z *gzip.Writer
	select {
	case z = <-compressors:
	default:
		return body, false
	}
	defer func() { compressors <- z }()
	var out bytes.Buffer
	out.Grow(len(body) / 4)
	if z == nil {
		z, _ = gzip.NewWriterLevel(&out, gzip.BestSpeed) // cannot fail: it is one of gzip's own levels
	} else {
		z.Reset(&out)
	}
	if _, err := z.Write(body); err != nil || z.Close() != nil {
		return body, false
	}
	return out.Bytes(), true
}
