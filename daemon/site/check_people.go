package site

import (
	"net"
	"slices"
	"strings"
)

// people checks who may come in, and whether others could come in without them.
func (c *checker) people(doc document, s *Site) {
	seen := map[string]int{}
	for i, t := range doc.Person {
		path := element("person", i)
		c.personName(path, t.Name, seen)
		if !slices.Contains(Roles(), t.Role) {
			c.addf(path+".role", `role = %q must be "viewer" (sees), "maker" (enters what was done), "auditor" (sees and signs) or "keeper" (everything)`, t.Role)
		}
		s.People = append(s.People, Person(t))
	}
	s.Door = c.door(doc.Door, len(doc.Person) > 0)
	_, _, err := net.SplitHostPort(s.Listen)
	if err == nil && !loopback(s.Listen) && len(doc.Person) == 0 {
		c.addf("site.listen", "listen = %q lets other machines in, and nobody is named who may come: add a [[person]] with name and role for each, or listen at 127.0.0.1", s.Listen)
	}
}

func (c *checker) door(t doorTable, someone bool) Door {
	d := Door{
		PeopleFile: c.wholePath("people_file", t.PeopleFile), Cert: c.wholePath("tls_cert", t.Cert), Key: c.wholePath("tls_key", t.Key),
		SelfMade: t.TLS == "self-made", MetricsToken: SecretRef{File: c.wholePath("metrics_token_file", t.MetricsToken)},
	}
	if (t.Cert == "") != (t.Key == "") {
		c.addf("door", "tls_cert and tls_key go together: give both, or neither for a self-made certificate")
	}
	switch {
	case t.TLS == "" && !c.given("door.tls"):
	case !d.SelfMade:
		c.addf("door.tls", `tls = %q must be "self-made", or be left out: tls_cert and tls_key name a given certificate`, t.TLS)
	case d.Cert != "":
		c.addf("door.tls", "tls and tls_cert exclude each other: either make a certificate or use one")
	}
	for i, host := range t.Hosts {
		if !hostName(host) {
			c.addf(element("door.hosts", i), "hosts holds %q, which is no name of a machine: write it as it stands in the address, without http:// and port", host)
		}
		d.Hosts = append(d.Hosts, strings.ToLower(host))
	}
	if d.MetricsToken.Set() {
		c.keep("door", "metrics_token_file", d.MetricsToken, signingKey)
	}
	if !someone && c.given("door.people_file") {
		c.addf("door.people_file", "people_file means nothing without a [[person]]")
	}
	return d
}

// wholePath checks the path of a file that [door] names and may leave out.
func (c *checker) wholePath(key, path string) string {
	if c.given("door."+key) && !strings.HasPrefix(path, "/") {
		c.addf("door."+key, "%s must be the whole path of a file, beginning with /", key)
		return ""
	}
	return path
}

// hostName reports whether text is a name that a browser asks for (RFC 1123, 2.1).
func hostName(text string) bool {
	if text == "" || len(text) > 253 {
		return false
	}
	for label := range strings.SplitSeq(text, ".") {
		unfit := func(r rune) bool {
			return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (r < '0' || r > '9') && r != '-'
		}
		if label == "" || len(label) > 63 || strings.ContainsFunc(label, unfit) || strings.HasPrefix(label, "-") || strings.HasSuffix(label, "-") {
			return false
		}
	}
	return true
}
