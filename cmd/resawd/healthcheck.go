package main

import (
	"context"
	"crypto/tls"
	"fmt"
	"net"
	"net/http"
	"time"
)

// healthcheck checks that a service answers at the listen address.
func healthcheck(ctx context.Context, p *program, args []string) error {
	f := p.flags("healthcheck")
	listen := address("127.0.0.1:8080")
	f.Var(&listen, "listen", "address that the service listens on")
	cert := f.String("tls-cert", "", "certificate file of the service; where there is one, it is asked by TLS")
	if err := p.parseFlags(f, args); err != nil {
		return err
	}
	host, port, err := net.SplitHostPort(string(listen))
	if err != nil {
		return err
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	ctx, cancel := context.WithTimeout(ctx, 3*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+net.JoinHostPort(host, port)+"/healthz", nil)
	if err != nil {
		return err
	}
	client := &http.Client{}
	if *cert != "" {
		request.URL.Scheme = "https"
		client.Transport = &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}} //nolint:gosec // it asks this machine, by an address that no certificate names
	}
	answer, err := client.Do(request)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("the service answers %s", answer.Status)
	}
	return nil
}
