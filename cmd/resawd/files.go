package main

import (
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"sync/atomic"

	"resawd/api"
	"resawd/api/key"
	"resawd/api/shop"
)

// files are what the service reads at the start and again on SIGHUP: the paths, empty
// for a file that is not used, and what the files held.
type files struct {
	shop, keys, cert, key string

	saws        *shop.Shop
	ring        *key.Ring
	certificate atomic.Pointer[tls.Certificate]
}

// shopUsage is the help of the flag --shop, which several commands have.
const shopUsage = "shop file; without one, the built-in demo shop"

// loadShop reads a shop file, or returns the demo shop if the path is empty.
func loadShop(path string) (*shop.Shop, error) {
	if path == "" {
		return shop.Demo()
	}
	return shop.Read(path)
}

// loadShop is loadShop for a command that answers at once: what the file says that can
// hardly be true goes beside its answer.
func (p *program) loadShop(path string) (*shop.Shop, error) {
	s, err := loadShop(path)
	if err != nil {
		return nil, err
	}
	for _, doubt := range s.Warnings {
		fmt.Fprintf(p.stderr, "shop file %s: %s\n", path, doubt)
	}
	return s, nil
}

// doubt logs what the shop file says that can hardly be true.
func (f *files) doubt(log *slog.Logger) {
	if len(f.saws.Warnings) > 0 {
		log.Warn("the shop file may be wrong", "path", f.shop, "warnings", f.saws.Warnings)
	}
}

// read reads all files.
func (f *files) read() (err error) {
	if f.saws, err = loadShop(f.shop); err != nil {
		return err
	}
	return errors.Join(f.readKeys(), f.readCertificate())
}

func (f *files) readKeys() error {
	if f.keys == "" {
		return nil
	}
	ring, err := key.Read(f.keys)
	if err == nil {
		f.ring = ring
	}
	return err
}

func (f *files) readCertificate() error {
	if f.cert == "" {
		return nil
	}
	pair, err := tls.LoadX509KeyPair(f.cert, f.key)
	if err != nil {
		return fmt.Errorf("certificate %s with the key %s:\n%w", f.cert, f.key, err)
	}
	f.certificate.Store(&pair)
	return nil
}

// readAgain reads all files again. If one cannot be read, what it held before stays in
// force, and the log and the metrics say so.
func (f *files) readAgain(server *api.Server, log *slog.Logger) {
	for _, file := range []struct {
		name, path string
		read       func() error
	}{
		{"shop", f.shop, func() error {
			saws, err := shop.Read(f.shop)
			if err == nil {
				f.saws = saws
				server.UseShop(saws)
				f.doubt(log)
			}
			return err
		}},
		{"keys", f.keys, func() error {
			err := f.readKeys()
			server.UseKeys(f.ring)
			return err
		}},
		{"certificate", f.cert, f.readCertificate},
	} {
		if file.path == "" {
			continue
		}
		err := file.read()
		server.Reloaded(file.name, err)
		if err != nil {
			log.Error("a file could not be read again: what it held stays in force", "file", file.name, "path", file.path, "error", err.Error())
		} else {
			log.Info("a file was read again", "file", file.name, "path", file.path)
		}
	}
	if f.shop == "" && f.keys == "" && f.cert == "" {
		log.Info("SIGHUP: no file is in use that could be read again")
	}
}

// tell records in the metrics which files were read at the start.
func (f *files) tell(server *api.Server) {
	for name, path := range map[string]string{"shop": f.shop, "keys": f.keys, "certificate": f.cert} {
		if path != "" {
			server.Reloaded(name, nil)
		}
	}
}
