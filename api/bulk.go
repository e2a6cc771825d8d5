package api

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
)

const typeCSV = "text/csv"

// defaultBulkPatience is how long a client may take to send the next part of a table, or
// to read the next part of the answer.
const defaultBulkPatience = 30 * time.Second

// bulk answers a table while it is still arriving. A fault in its header is a problem
// like any other; a fault in a row is told in that row of the answer.
func (s *Server) bulk(c echo.Context, k *endpoint.Calculator) error {
	control, query, err := controlOf(c.Request())
	if err == nil {
		_, err = control.Form(c.Request().Header.Get(echo.HeaderAccept), []endpoint.Form{endpoint.CSV})
	}
	if err == nil {
		err = readable(c.Request())
	}
	if err != nil {
		return err
	}
	if control.Pick != "" {
		return endpoint.Fail(endpoint.BadRequest, "pick=%s does not go with a table, which is answered row by row", endpoint.Clip([]byte(control.Pick)))
	}
	if err := s.admission.enterTable(); err != nil {
		return err
	}
	defer s.admission.leaveTable()
	t := newTableStream(s.stopping, c, s.bulkPatience, s.admission)
	s.admission.takeTurn()
	defer s.admission.endTurn()
	defer context.AfterFunc(s.stopping, t.interrupt)()
	b, err := k.NewBulk(s.call(c), t, query, control.Comma())
	if err != nil {
		return readError(err)
	}
	defer func() { s.metrics.bulk(b.Rows, b.Failed) }()
	return t.answer(b)
}

// tableStream reads a table and writes its answer on the same connection: it sends what
// it has written before it waits for more to read. It gives up its turn while it reads
// and sends.
type tableStream struct {
	response *echo.Response
	control  *http.ResponseController
	body     io.Reader
	patience time.Duration
	stopping context.Context //nolint:containedctx // ends with the service, not with the table
	turns    *admission
	out      *bufio.Writer // nil until the header has been read
}

func newTableStream(stopping context.Context, c echo.Context, patience time.Duration, turns *admission) *tableStream {
	t := &tableStream{c.Response(), http.NewResponseController(c.Response()), c.Request().Body, patience, stopping, turns, nil}
	_ = t.control.EnableFullDuplex() // a connection that lacks it, as in a test, does not need it
	return t
}

// answer answers every row.
func (t *tableStream) answer(b *endpoint.Bulk) error {
	h := t.response.Header()
	h.Set(echo.HeaderContentType, endpoint.CSV.MediaType)
	h.Set(echo.HeaderCacheControl, "no-store")
	t.out = bufio.NewWriterSize(writer{t}, 16<<10)
	row, err := b.Header(), error(nil)
	for err == nil {
		if _, err = t.out.Write(row); err == nil {
			row, err = b.Next()
		}
	}
	if !errors.Is(err, io.EOF) {
		_, _ = t.out.Write(b.Broken(readError(err))) // if the client is gone, nobody reads it
	}
	return t.out.Flush()
}

// Read reads more of the table.
func (t *tableStream) Read(p []byte) (int, error) {
	if t.out != nil && t.out.Buffered() > 0 {
		if err := errors.Join(t.out.Flush(), t.control.Flush()); err != nil {
			return 0, err
		}
	}
	_ = t.control.SetReadDeadline(time.Now().Add(t.patience)) // as in writeWithin
	if t.stopping.Err() != nil {
		return 0, errTableStopped
	}
	t.turns.endTurn()
	n, err := t.body.Read(p)
	t.turns.takeTurn()
	if err != nil && t.stopping.Err() != nil {
		return n, errTableStopped
	}
	return n, err
}

// interrupt ends a wait for more of the table.
func (t *tableStream) interrupt() { _ = t.control.SetReadDeadline(time.Now()) }

// errTableStopped ends a table when the service stops.
var errTableStopped = endpoint.Fail(endpoint.Unavailable, "the service is stopping: send the rest when it is back")

// writer writes some of the answer.
type writer struct{ *tableStream }

func (w writer) Write(p []byte) (int, error) {
	w.turns.endTurn()
	defer w.turns.takeTurn()
	writeWithin(w.control, w.patience)
	return w.response.Write(p)
}
