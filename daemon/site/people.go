package site

import (
	"fmt"
	"net"
	"net/url"
	"slices"
	"strings"
)

// Person is somebody who may sign in to the pages. What proves it is kept apart:
// see daemon/people.
type Person struct {
	Name string
	Role string // one of Roles
}

// Roles are what people may be, from seeing to everything; daemon/people says what
// each may do.
func Roles() []string { return []string{"viewer", "maker", "auditor", "keeper"} }

// Door is how the pages are come to.
type Door struct {
	PeopleFile string // of passwords; empty: in the folder of the record
	Hosts      []string
	// Cert and Key are PEM files of a certificate. Without them one is made where
	// other machines reach the pages, or where SelfMade asks for it.
	Cert, Key    string
	SelfMade     bool
	MetricsToken SecretRef // may be unset
}

// TLS reports whether pages served at listen are private on their way.
func (s *Site) TLS(listen string) bool {
	return s.Door.Cert != "" || s.Door.SelfMade || !loopback(listen) && len(s.People) > 0
}

// Loopback reports whether only this machine reaches what is served at hostPort.
func Loopback(hostPort string) bool { return loopback(hostPort) }

// Names are those by which the pages are asked for, beside addresses in digits and
// localhost: those of the machine, called hostname, and those of the file.
func (s *Site) Names(hostname string) []string {
	names := slices.Clone(s.Door.Hosts)
	if hostname != "" {
		names = append(names, hostname)
		if !strings.Contains(hostname, ".") {
			names = append(names, hostname+".local") // as multicast DNS has it (RFC 6762)
		}
	}
	if u, err := url.Parse(s.Phone.Address); err == nil && u.Hostname() != "" && net.ParseIP(u.Hostname()) == nil {
		names = append(names, u.Hostname())
	}
	return names
}

// personTable is [[person]] as it is written.
type personTable struct {
	Name string `toml:"name"`
	Role string `toml:"role"`
}

// doorTable is [door] as it is written.
type doorTable struct {
	PeopleFile   string   `toml:"people_file"`
	Hosts        []string `toml:"hosts"`
	TLS          string   `toml:"tls"`
	Cert         string   `toml:"tls_cert"`
	Key          string   `toml:"tls_key"`
	MetricsToken string   `toml:"metrics_token_file"`
}

// explainPeople says who may come in, and how.
func (s *Site) explainPeople(b *strings.Builder) {
	if len(s.People) == 0 {
		b.WriteString("People: nobody signs in; whoever sits at this machine may do everything.\n")
		return
	}
	var all []string
	for _, p := range s.People {
		all = append(all, fmt.Sprintf("%s (%s)", p.Name, p.Role))
	}
	place := "in the folder of the record"
	if s.Door.PeopleFile != "" {
		place = "in " + s.Door.PeopleFile
	}
	fmt.Fprintf(b, "People: %s; their passwords are %s.\n", and(all), place)
	switch {
	case s.Door.Cert != "":
		fmt.Fprintf(b, "Certificate: %s\n", s.Door.Cert)
	case s.TLS(s.Listen):
		b.WriteString("Certificate: self-made; compare its fingerprint, which the daemon prints, with what the browser shows.\n")
	}
}

// peopleWarnings tells what is allowed and probably not meant.
func (s *Site) peopleWarnings() []string {
	var all []string
	keeper := slices.ContainsFunc(s.People, func(p Person) bool { return p.Role == "keeper" })
	if len(s.People) > 0 && !keeper {
		all = append(all, `no [[person]] is a keeper, so nobody can let a heat cut-out go or calibrate a probe on the pages`)
	}
	if len(s.People) > 0 && s.Broker != nil && s.Broker.Orders == OpenOrders {
		all = append(all, `orders = "open" lets whoever may write to the broker act on the baths without signing in; "signed" asks for a key and a name`)
	}
	if s.TLS(s.Listen) && strings.HasPrefix(s.Phone.Address, "http://") {
		all = append(all, fmt.Sprintf("the pages are served under TLS, so the links in messages lead nowhere: write https:// in place of http:// in %s", s.Phone.Address))
	}
	return all
}
