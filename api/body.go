package api

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"os"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
)

// jsonBody reads the body of a POST, whose query may hold nothing but control fields.
func jsonBody(r *http.Request, k *endpoint.Calculator, query []endpoint.Pair, memory *hold) ([]byte, error) {
	if len(query) > 0 {
		return nil, endpoint.Fail(endpoint.BadRequest, "%s stands in the query of a POST: put it into the body; the query takes format, pick, errors and decimal only", endpoint.Clip([]byte(query[0].Name)))
	}
	if err := readable(r); err != nil {
		return nil, err
	}
	if bodyType(r) != echo.MIMEApplicationJSON {
		send := "send application/json, or text/csv for a table"
		if k.ByPost && !k.Long {
			send = "send application/json"
		}
		return nil, endpoint.Fail(endpoint.UnsupportedMedia, "Content-Type is %q: %s", endpoint.Clip([]byte(r.Header.Get(echo.HeaderContentType))), send)
	}
	return wholeBody(r, memory)
}

// tableBody reads the lists of one request as a table. The other fields stand in the
// query.
func tableBody(r *http.Request, query []endpoint.Pair, comma bool, memory *hold) (endpoint.Fields, error) {
	if err := readable(r); err != nil {
		return endpoint.Fields{}, err
	}
	body, err := wholeBody(r, memory)
	return endpoint.Tables(query, comma, endpoint.Table{Text: body}), err
}

func wholeBody(r *http.Request, memory *hold) ([]byte, error) {
	return readAll(r.Body, make([]byte, 0, min(max(r.ContentLength, 0)+1, freeBytes)), memory)
}

// bodyType is the media type of a body, without its parameters.
func bodyType(r *http.Request) string {
	given := r.Header.Get(echo.HeaderContentType)
	if given == echo.MIMEApplicationJSON || given == "" {
		return given
	}
	mediaType, _, _ := mime.ParseMediaType(given)
	return mediaType
}

// readable refuses a body whose content coding or character set the service does not
// read.
func readable(r *http.Request) error {
	if coding := r.Header.Get(echo.HeaderContentEncoding); coding != "" && !strings.EqualFold(coding, "identity") {
		return endpoint.Fail(endpoint.UnsupportedMedia, "Content-Encoding is %q: send the body as it is", endpoint.Clip([]byte(coding)))
	}
	given := r.Header.Get(echo.HeaderContentType)
	if !strings.Contains(given, ";") {
		return nil
	}
	_, params, _ := mime.ParseMediaType(given)
	if charset := params["charset"]; charset != "" && !strings.EqualFold(charset, "utf-8") && !strings.EqualFold(charset, "us-ascii") {
		return endpoint.Fail(endpoint.UnsupportedMedia, "the charset is %q: send UTF-8", endpoint.Clip([]byte(charset)))
	}
	return nil
}

// readAll reads to the end, into a buffer that is usually large enough. Memory is charged
// as the buffer grows: a body counts for what has arrived, not for what it announces.
func readAll(r io.Reader, buf []byte, memory *hold) ([]byte, error) {
	for {
		n, err := r.Read(buf[len(buf):cap(buf)])
		buf = buf[:len(buf)+n]
		if errors.Is(err, io.EOF) {
			return buf, nil
		}
		if err != nil {
			return nil, readError(err)
		}
		if len(buf) == cap(buf) {
			before := cap(buf)
			buf = slices.Grow(buf, before)
			if err := memory.grow(cap(buf)); err != nil {
				return nil, err
			}
		}
	}
}

// readError says why a body could not be read to its end.
func readError(err error) error {
	if failure := new(endpoint.Failure); errors.As(err, &failure) {
		return err
	}
	if tooLong := new(http.MaxBytesError); errors.As(err, &tooLong) {
		return endpoint.Fail(endpoint.TooLarge, "the body is longer than the limit of %d bytes", tooLong.Limit)
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return endpoint.Fail(endpoint.TimedOut, "the rest of the body did not come in time")
	}
	return endpoint.Fail(endpoint.BadRequest, "the body broke off before its end")
}
