package main

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"reflect"
	"strings"

	"github.com/labstack/echo/v4"

	"resawd/api"
	"resawd/api/contract"
	"resawd/api/endpoint"
	"resawd/api/shop"
)

// asBare is set in the environment of a test binary that shall be the bare service;
// its value is the address.
const asBare = "RESAWD_AS_BARE"

// serveBare answers the examples with what was worked out before.
func serveBare(address string) error {
	list, err := examples()
	if err != nil {
		return err
	}
	e := bare(list)
	e.GET("/readyz", func(c echo.Context) error { return c.NoContent(http.StatusOK) })
	return e.Start(address)
}

// bare is what an engineer would hold a service against: Echo without middleware,
// which binds each request and answers the same struct, precomputed.
func bare(list []example) *echo.Echo {
	e := echo.New()
	for _, x := range list {
		e.Add(x.method, x.path, func(c echo.Context) error {
			if err := c.Bind(reflect.New(x.request).Interface()); err != nil {
				return err
			}
			return c.JSON(http.StatusOK, x.answer)
		})
	}
	return e
}

// example is a request of a calculator, as it is sent, and what a bare handler
// needs to answer it.
type example struct {
	path, method string
	sent         []byte
	request      reflect.Type // in plain Go
	answer       endpoint.Answer
}

// examples gives, for each calculator and method, the first request of the contract
// that plain numbers can hold.
func examples() ([]example, error) {
	rows, err := contract.Read("../../testdata/contract")
	if err != nil {
		return nil, err
	}
	var list []example
	for _, k := range api.Calculators() {
		for _, method := range []string{http.MethodGet, http.MethodPost} {
			if k.ByPost && method == http.MethodGet {
				continue
			}
			x, err := exampleOf(&k, method, rows)
			if err != nil {
				return nil, err
			}
			list = append(list, x)
		}
	}
	return list, nil
}

func exampleOf(k *endpoint.Calculator, method string, rows []contract.Row) (example, error) {
	demo, err := shop.Demo()
	if err != nil {
		return example{}, err
	}
	for _, row := range rows {
		target, err := url.Parse(row.Target)
		if err != nil {
			return example{}, err
		}
		if target.Path != k.Path || row.Method != method || row.Status != http.StatusOK || row.Table() {
			continue
		}
		fields := endpoint.Body([]byte(row.Body))
		if query := withoutControl(target); method == http.MethodGet {
			fields = endpoint.Query(query, false)
		}
		answer, err := k.Solve(&endpoint.Call{Context: context.Background(), Shop: demo}, fields)
		if err != nil {
			return example{}, err
		}
		x := example{k.Path, method, sent(method, target, row.Body), plain(k.Request, ""), answer}
		if x.plainEnough() {
			return x, nil
		}
	}
	return example{}, fmt.Errorf("the contract has no %s of %s that plain numbers can hold", method, k.Path)
}

// withoutControl takes the control fields out of a query, so that the whole answer
// is asked for, and gives the others.
func withoutControl(target *url.URL) []endpoint.Pair {
	pairs, _ := endpoint.Pairs(target.RawQuery)
	_, pairs, _ = endpoint.TakeControl(pairs)
	left := url.Values{}
	for _, p := range pairs {
		left.Set(p.Name, p.Value)
	}
	target.RawQuery = left.Encode()
	return pairs
}

// sent is a request as it goes over the wire.
func sent(method string, target *url.URL, body string) []byte {
	text := method + " " + target.RequestURI() + " HTTP/1.1\r\nHost: x\r\n"
	if body != "" {
		text += fmt.Sprintf("Content-Type: application/json\r\nContent-Length: %d\r\n", len(body))
	}
	return []byte(text + "\r\n" + body)
}

// plainEnough tells whether a bare handler can answer an example: a length that is
// given as "1/2 in" is beyond it.
func (x example) plainEnough() bool {
	request, err := http.ReadRequest(bufio.NewReader(bytes.NewReader(x.sent)))
	if err != nil {
		return false
	}
	answer := httptest.NewRecorder()
	bare([]example{x}).ServeHTTP(answer, request)
	return answer.Code == http.StatusOK
}

// plain is a request's type as one would write it for Echo to bind: numbers, texts,
// lists and structs, with the names that the fields have in JSON and in a query.
func plain(t reflect.Type, path string) reflect.Type {
	var fields []reflect.StructField
	for _, f := range reflect.VisibleFields(t) {
		if f.Anonymous || !f.IsExported() {
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		inJSON := fmt.Sprintf("json:%q", name)
		inQuery := fmt.Sprintf("query:%q", cmp.Or(f.Tag.Get("query"), path+name))
		switch f.Type.Kind() {
		case reflect.Pointer:
			fields = append(fields, reflect.StructField{Name: f.Name, Type: plainValue(f.Type.Elem()), Tag: reflect.StructTag(inJSON + " " + inQuery)})
		case reflect.Struct:
			fields = append(fields, reflect.StructField{Name: f.Name, Type: plain(f.Type, path+name+"."), Tag: reflect.StructTag(inJSON)})
		default: // a query has a list as one text
			fields = append(fields,
				reflect.StructField{Name: f.Name, Type: plainValue(f.Type), Tag: reflect.StructTag(inJSON)},
				reflect.StructField{Name: f.Name + "Text", Type: reflect.TypeFor[string](), Tag: reflect.StructTag(`json:"-" ` + inQuery)})
		}
	}
	return reflect.StructOf(fields)
}

func plainValue(t reflect.Type) reflect.Type {
	switch t.Kind() {
	case reflect.Struct:
		return plain(t, "")
	case reflect.Slice:
		if t == reflect.TypeFor[endpoint.Object]() {
			return reflect.TypeFor[json.RawMessage]()
		}
		return reflect.SliceOf(plainValue(t.Elem()))
	case reflect.Int64, reflect.Float64: // lengths, money and their like
		return reflect.TypeFor[float64]()
	}
	return t
}
