// Command generate writes the API document: it runs swag over the annotations of the
// source, adds what swag loses or cannot say, and writes the result as JSON and as
// YAML. go generate runs it in the folder openapi.
package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/prometheus/client_golang/prometheus"

	"resawd/api"
	"resawd/api/contract"
	"resawd/api/shop"
	"resawd/openapi/internal/spec"
)

func main() {
	if err := generate(); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

// generate works in the root of the module, whose source swag reads.
func generate() error {
	if err := os.Chdir(".."); err != nil {
		return err
	}
	src, err := readSource("api")
	if err != nil {
		return err
	}
	doc, err := runSwag(src)
	if err != nil {
		return err
	}
	rows, err := contract.Read("testdata/contract")
	if err != nil {
		return err
	}
	demo, err := shop.Demo()
	if err != nil {
		return err
	}
	service := api.New(api.Config{Shop: demo, Build: "test", Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry(), BodyLimit: 1 << 20})
	f := finisher{doc: doc, src: src, rows: rows, service: service}
	if err := f.finish(); err != nil {
		return err
	}
	return write(f.doc)
}

func write(doc *spec.Document) error {
	text, err := doc.Write()
	if err != nil {
		return err
	}
	asYAML, err := yaml.JSONToYAML(text)
	if err != nil {
		return err
	}
	return errors.Join(
		os.WriteFile("openapi/openapi.json", text, 0o644),   //nolint:gosec // a source file, which everybody may read
		os.WriteFile("openapi/openapi.yaml", asYAML, 0o644), //nolint:gosec // as above
	)
}

// runSwag returns the document that swag makes.
func runSwag(src *source) (*spec.Document, error) {
	folder, err := os.MkdirTemp("", "swag")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	overrides := filepath.Join(folder, "overrides")
	if err := os.WriteFile(overrides, src.overrides(), 0o600); err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	defer cancel()
	run := exec.CommandContext(ctx, "go", "tool", "swag", "init", "--v3.1", "-d", "cmd/resawd,api,calc", "-o", folder, "--outputTypes", "json", "--overridesFile", overrides) //nolint:gosec // the names are of our own folders
	said, err := run.CombinedOutput()
	if err := errors.Join(err, complaint(said)); err != nil {
		return nil, err
	}
	return spec.Read(filepath.Join(folder, "swagger.json"))
}

// complaints are what swag prints about faults before it ends with exit code 0 all the
// same.
var complaints = []string{"Error parsing", " error", "skip field", "Skip field"}

// complaint returns an error if swag complained.
func complaint(said []byte) error {
	var errs []error
	for line := range strings.Lines(string(said)) {
		if slices.ContainsFunc(complaints, func(c string) bool { return strings.Contains(line, c) }) {
			errs = append(errs, errors.New("swag: "+strings.TrimSpace(line)))
		}
	}
	return errors.Join(errs...)
}
