package main

import (
	"cmp"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/netip"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// errUsage says that the flags were wrong. What was wrong has been printed.
var errUsage = errors.New("usage")

// errHelp says that help was asked for and has been printed.
var errHelp = errors.New("help")

// flags makes a flag set that prints nothing by itself; parse does that.
func (p *program) flags(name string) *flag.FlagSet {
	f := flag.NewFlagSet("resawd "+name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	return f
}

// parse reads flags from the environment, and then from the arguments, which override
// it. It returns the arguments that are not flags.
func (p *program) parse(f *flag.FlagSet, args []string) ([]string, error) {
	var wrong error
	f.VisitAll(func(one *flag.Flag) {
		name := variable(one)
		if value := p.getenv(name); value != "" && wrong == nil {
			if err := one.Value.Set(value); err != nil {
				wrong = fmt.Errorf("%s is %q: %w", name, value, err)
			}
		}
	})
	if wrong != nil {
		return nil, wrong
	}
	switch rest, err := parseAll(f, args); {
	case errors.Is(err, flag.ErrHelp):
		p.help(f)
		return nil, errHelp
	case err != nil:
		fmt.Fprintf(p.stderr, "%s: %v\n%s --help lists the flags\n", f.Name(), err, f.Name())
		return nil, errUsage
	default:
		return rest, nil
	}
}

// parseFlags is parse for a command that takes nothing but flags.
func (p *program) parseFlags(f *flag.FlagSet, args []string) error {
	rest, err := p.parse(f, args)
	if err == nil && len(rest) > 0 {
		err = fmt.Errorf("takes flags only; %q was given", rest[0])
	}
	return err
}

// parseAll reads flags before, between and after the other arguments, which it returns.
// What stands after -- is none.
func parseAll(f *flag.FlagSet, args []string) (rest []string, err error) {
	for len(args) > 0 {
		if err := f.Parse(args); err != nil {
			return nil, err
		}
		after := f.Args()
		if read := len(args) - len(after); len(after) == 0 || read > 0 && args[read-1] == "--" {
			return append(rest, after...), nil
		}
		rest, args = append(rest, after[0]), after[1:]
	}
	return rest, nil
}

// prefix is what the environment variables of flags begin with.
const prefix = "RESAWD_"

// variable is the environment variable of a flag.
func variable(f *flag.Flag) string {
	return prefix + strings.ToUpper(strings.ReplaceAll(f.Name, "-", "_"))
}

// help lists the flags.
func (p *program) help(f *flag.FlagSet) {
	fmt.Fprintf(p.stdout, "Flags of %s:\n", f.Name())
	f.VisitAll(func(one *flag.Flag) {
		usage := one.Usage
		if one.DefValue != "" {
			usage += " (" + one.DefValue + " by default)"
		}
		fmt.Fprintf(p.stdout, "  --%s\n        %s\n", one.Name, usage)
	})
}

// ranged is the value of a flag with limits.
type ranged[T cmp.Ordered] struct {
	value     *T
	low, high T
	form      string // what it looks like
	read      func(string) (T, error)
}

// String gives the value.
func (r ranged[T]) String() string {
	if r.value == nil {
		return ""
	}
	return fmt.Sprint(*r.value)
}

// Set takes a value, or says which are possible.
func (r ranged[T]) Set(text string) error {
	v, err := r.read(text)
	if err != nil || v < r.low || v > r.high {
		return fmt.Errorf("it takes %s, from %v to %v", r.form, r.low, r.high)
	}
	*r.value = v
	return nil
}

// span defines a flag that takes a duration.
func span(f *flag.FlagSet, name string, value, low, high time.Duration, usage string) *time.Duration {
	f.Var(ranged[time.Duration]{&value, low, high, "a time with its unit, such as 20s or 1m30s", time.ParseDuration}, name, usage)
	return &value
}

// count defines a flag that takes a whole number.
func count(f *flag.FlagSet, name string, value, low, high int, usage string) *int {
	f.Var(ranged[int]{&value, low, high, "a whole number", strconv.Atoi}, name, usage)
	return &value
}

// toggle defines a flag that is given or not.
func toggle(f *flag.FlagSet, name, usage string) *bool {
	var on given
	f.Var(&on, name, usage)
	return (*bool)(&on)
}

// given is the value of a flag that is given or not.
type given bool

// IsBoolFlag lets the flag stand without a value.
func (g *given) IsBoolFlag() bool { return true }

// String gives the value.
func (g *given) String() string { return strconv.FormatBool(bool(*g)) }

// Set takes true or false.
func (g *given) Set(text string) error {
	on, err := strconv.ParseBool(text)
	if err != nil {
		return errors.New("it takes true or false")
	}
	*g = given(on)
	return nil
}

// unread lists the variables of an environment that look like a flag's and are none's.
func unread(f *flag.FlagSet, environment []string) (names []string) {
	read := map[string]bool{}
	f.VisitAll(func(one *flag.Flag) { read[variable(one)] = true })
	for _, pair := range environment {
		if name, _, _ := strings.Cut(pair, "="); strings.HasPrefix(name, prefix) && !read[name] {
			names = append(names, name)
		}
	}
	return names
}

// address is the value of a flag that takes an address to listen on.
type address string

// String gives the address.
func (a *address) String() string { return string(*a) }

// Set takes an address, or says what one looks like.
func (a *address) Set(text string) error {
	_, port, err := net.SplitHostPort(text)
	if n, bad := strconv.Atoi(port); err != nil || bad != nil || n < 0 || n > 65535 {
		return errors.New("it takes HOST:PORT, such as 127.0.0.1:8080, or :8080 for every address of this machine")
	}
	*a = address(text)
	return nil
}

// local reports whether only this machine can reach the address.
func (a address) local() bool {
	host, _, _ := net.SplitHostPort(string(a))
	ip, err := netip.ParseAddr(host)
	return host == "localhost" || err == nil && ip.IsLoopback()
}

// networks is the value of a flag that takes networks, or single addresses.
type networks []netip.Prefix

// String gives the networks.
func (n *networks) String() string {
	words := make([]string, len(*n))
	for i, p := range *n {
		words[i] = p.String()
	}
	return strings.Join(words, ",")
}

// Set takes networks, or says what they look like.
func (n *networks) Set(text string) error {
	*n = nil
	for word := range strings.SplitSeq(text, ",") {
		word = strings.TrimSpace(word)
		p, err := netip.ParsePrefix(word)
		if at, bad := netip.ParseAddr(word); err != nil && bad == nil {
			p, err = at.Prefix(at.BitLen())
		}
		if err != nil {
			return fmt.Errorf("%q is not a network: give networks such as 10.0.0.0/8 or 192.168.1.5, separated by commas", word)
		}
		*n = append(*n, p)
	}
	return nil
}

// origins is the value of a flag that takes the origins of pages.
type origins []string

// String gives the origins.
func (o *origins) String() string { return strings.Join(*o, ",") }

// Set takes origins, or says what they look like. Browsers send them in small letters.
func (o *origins) Set(text string) error {
	*o = nil
	for word := range strings.SplitSeq(strings.ToLower(text), ",") {
		word = strings.TrimSpace(word)
		u, err := url.Parse(word)
		if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.Scheme+"://"+u.Host != word {
			return fmt.Errorf("%q is not an origin: give origins such as https://shop.example, separated by commas", word)
		}
		*o = append(*o, word)
	}
	return nil
}
