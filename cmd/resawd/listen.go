package main

import (
	"net"
	"sync"
)

// limited is a listener that limits how many of its connections are open at once.
// Further ones wait, unaccepted, until one closes. Its connections are still TCP
// connections, which can close one direction and leave the other open.
type limited struct {
	*net.TCPListener
	open   chan struct{} // holds a token for each open connection
	closed chan struct{}
	once   sync.Once // closed is closed once
}

func limit(l *net.TCPListener, connections int) *limited {
	return &limited{TCPListener: l, open: make(chan struct{}, connections), closed: make(chan struct{})}
}

// Accept waits for a place, and then for a connection.
func (l *limited) Accept() (net.Conn, error) {
	select {
	case l.open <- struct{}{}:
	case <-l.closed:
		return nil, net.ErrClosed
	}
	conn, err := l.AcceptTCP()
	if err != nil {
		<-l.open
		return nil, err
	}
	return &counted{TCPConn: conn, leave: sync.OnceFunc(func() { <-l.open })}, nil
}

// Close closes the listener, and ends a wait for a place.
func (l *limited) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.TCPListener.Close()
}

// counted is a connection that gives its place back when it closes.
type counted struct {
	*net.TCPConn
	leave func()
}

// Close closes the connection.
func (c *counted) Close() error {
	defer c.leave()
	return c.TCPConn.Close()
}
