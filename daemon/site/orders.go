package site

import (
	"fmt"
	"slices"
	"strings"
)

// Orders says whether somebody at the broker may act on the baths.
type Orders uint8

// The kinds of orders.
const (
	NoOrders     Orders = iota
	SignedOrders        // with a key and the name of a person: daemon/publish/signed.go
	OpenOrders          // whoever may write there
)

// orders checks who at the broker may act on the baths. word is as it is written.
func (c *checker) orders(t brokerTable, people []personTable) (Orders, SecretRef) {
	const key = "broker.orders"
	if !c.given(key) {
		if c.given("broker.orders_key_file") {
			c.addf("broker.orders_key_file", `orders_key_file means nothing without orders = "signed"`)
		}
		return NoOrders, SecretRef{}
	}
	if t.Name == "" {
		c.addf(key, "orders lets everybody at the broker act on the baths: give name and password_file, so that the broker knows who speaks, or leave orders out")
	}
	switch t.Orders {
	case "open":
		if c.given("broker.orders_key_file") {
			c.addf("broker.orders_key_file", `orders_key_file means nothing with orders = "open"`)
		}
		return OpenOrders, SecretRef{}
	case "signed":
		return SignedOrders, c.ordersKey(t, people)
	}
	c.addf(key, `orders = %q must be "signed" (with a key and the name of a person) or "open" (whoever may write to the broker)`, t.Orders)
	return NoOrders, SecretRef{}
}

func (c *checker) ordersKey(t brokerTable, people []personTable) SecretRef {
	acts := func(p personTable) bool { return p.Role == "maker" || p.Role == "keeper" }
	if !slices.ContainsFunc(people, acts) {
		c.addf("broker.orders", `orders = "signed" wants somebody who may give them: add a [[person]] whose role is "maker" or "keeper"`)
	}
	ref := SecretRef{File: t.OrdersKey}
	if len(t.OrdersKey) == 0 || t.OrdersKey[0] != '/' {
		c.addf("broker", "orders_key_file must be the whole path of a file, beginning with /, that holds the key of signed orders and nothing else")
		return SecretRef{}
	}
	c.keep("broker", "orders_key_file", ref, signingKey)
	return ref
}

// explainOrders says who at the broker may act on the baths; nothing if nobody may.
func (s *Site) explainOrders(b *strings.Builder) {
	switch {
	case s.Broker == nil || s.Broker.Orders == NoOrders:
	case s.Broker.Orders == SignedOrders:
		fmt.Fprintf(b, "Orders: makers and keepers may enter events and acknowledge alarms through the broker, signed with the key in %s.\n", s.Broker.OrdersKey)
	default:
		b.WriteString("Orders: whoever may write to the broker may enter events and acknowledge alarms.\n")
	}
}
