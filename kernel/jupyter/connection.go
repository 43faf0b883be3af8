package jupyter

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"net"
	"os"
	"slices"
	"strconv"
)

// A Connection is what a connection file says: where the front end expects the
// kernel, and the key they share.
type Connection struct {
	Transport string `json:"transport"` // "tcp" or "ipc"
	IP        string `json:"ip"`        // or, for ipc, the start of a file name
	Shell     int    `json:"shell_port"`
	Control   int    `json:"control_port"`
	Stdin     int    `json:"stdin_port"`
	IOPub     int    `json:"iopub_port"`
	Heartbeat int    `json:"hb_port"`
	Key       string `json:"key"`
	Scheme    string `json:"signature_scheme"`
}

// scheme is the one way of signing that front ends use.
const scheme = "hmac-sha256"

// ReadConnection reads a connection file. Every front end writes one and names
// it when it starts a kernel.
func ReadConnection(file string) (Connection, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		if p := (*os.PathError)(nil); errors.As(err, &p) {
			err = p.Err
		}
		return Connection{}, fmt.Errorf("the connection file %s cannot be read: %w", file, err)
	}
	c := Connection{Transport: "tcp", IP: "127.0.0.1", Scheme: scheme}
	if err := json.Unmarshal(data, &c); err != nil {
		return c, fmt.Errorf("%s is not a connection file: %w", file, err)
	}
	if err := c.check(); err != nil {
		return c, fmt.Errorf("the connection file %s: %w", file, err)
	}
	return c, nil
}

func (c Connection) check() error {
	if c.Transport != "tcp" && c.Transport != "ipc" {
		return fmt.Errorf("transport %q is not known: tcp and ipc are", c.Transport)
	}
	if c.Key != "" && c.Scheme != scheme {
		return fmt.Errorf("signature_scheme %q is not known: %s is", c.Scheme, scheme)
	}
	ports := c.ports()
	for _, name := range slices.Sorted(maps.Keys(ports)) {
		port := ports[name]
		if port < 1 || c.Transport == "tcp" && port > 65535 {
			return fmt.Errorf("%s is %d: a number from 1 to 65535 is wanted", name, port)
		}
	}
	return nil
}

// ports lists the ports by the names that the protocol gives them.
func (c Connection) ports() map[string]int {
	return map[string]int{"shell_port": c.Shell, "control_port": c.Control, "stdin_port": c.Stdin,
		"iopub_port": c.IOPub, "hb_port": c.Heartbeat}
}

// listen opens the socket of one port.
func (c Connection) listen(port int) (net.Listener, error) {
	n := strconv.Itoa(port)
	if c.Transport == "ipc" {
		return net.Listen("unix", c.IP+"-"+n)
	}
	host := c.IP
	if host == "*" {
		host = ""
	}
	return net.Listen("tcp", net.JoinHostPort(host, n))
}

// listenAll opens all ports or none.
func (c Connection) listenAll(ports []int) ([]net.Listener, error) {
	var all []net.Listener
	for _, port := range ports {
		l, err := c.listen(port)
		if err != nil {
			for _, l := range all {
				l.Close()
			}
			return nil, fmt.Errorf("port %d of the connection file cannot be opened: %w; start the kernel again from the front end", port, err)
		}
		all = append(all, l)
	}
	return all, nil
}
