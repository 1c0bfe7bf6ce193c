// Package publish tells an MQTT broker what happens at the baths, and may take
// orders from it.
//
// Start with New, Start and Announce. Announce never waits: it hands messages
// to an outbox (outbox.go) that a worker (session.go) empties while a broker is
// reachable. The outbox is bounded. Of what describes the present only the
// newest is kept; changes of alarms are kept in order, the oldest are given up
// first and counted. The record on disk has them all, so nothing is lost here
// that cannot be looked up.
//
// # Topics
//
// PREFIX is "bainward" unless the site file says otherwise, SITE the site's name
// in lower case with dashes (Level). All are retained and sent with QoS 1 but
// for the answer, which is not retained.
//
//	PREFIX/SITE/status             online, or offline: also the last will
//	PREFIX/SITE/BATH/state         one JSON document: all that is known now
//	PREFIX/SITE/BATH/oil_c         plain numbers, for things that read no JSON;
//	PREFIX/SITE/BATH/bath_c        empty when not known, which also removes what
//	PREFIX/SITE/BATH/room_c        the broker had retained
//	PREFIX/SITE/BATH/boiling_c
//	PREFIX/SITE/BATH/hold_s
//	PREFIX/SITE/BATH/to_floor_s
//	PREFIX/SITE/BATH/to_held_s
//	PREFIX/SITE/BATH/to_bare_s
//	PREFIX/SITE/BATH/water_kg
//	PREFIX/SITE/BATH/phase         a plain word
//	PREFIX/SITE/BATH/alarm/ALARM   JSON: the alarm's newest change of state
//	PREFIX/SITE/BATH/do            orders in, if AllowCommands: see ParseOrder, and
//	                               signed.go for those that must be signed
//	PREFIX/SITE/BATH/answer        JSON: what became of an order
//	PREFIX/SITE/checkpoint         JSON: the newest signed checkpoint of the record,
//	                               its key, and proofs that older ones are its beginning
//	PREFIX/SITE/cosigned/OTHER     JSON: a checkpoint of SITE that OTHER signed too
//
// The state document tells temperatures (oil_c, bath_c, room_c, boiling_c, floor_c,
// ceiling_c, oil_max_c), the hold and, under estimate, what is reckoned of the pan:
// water_kg, boil_off_kg_h, to_bare_s, to_dry_s, herb_water_kg, heat_w (from the hob
// into the water), dish_w_per_k (from the bath into the oil), each with p10, p50
// and p90; herb_gone and bare_soon. What comes stands twice: to_floor_s and
// to_held_s in seconds, floor_at, held_at and bare_at as times (RFC 3339, UTC),
// which are null once they are reached. asks is true while water was seen going in
// and nobody has said how much; asked_kg is then about how much it was, and a
// top-up with its amount is the answer. null is what is not known.
//
// State goes out at most once a second a bath, and at once when something of
// note changed. After every connection all that is retained is sent again,
// because the broker may have been restarted without its memory.
//
// MQTT is 3.1.1 (OASIS, 29 October 2014), spoken by paho with its memory store:
// its file store panics on a full disk.
//
// The status of sibling sites is read if Options name them, so that one daemon
// can miss another. OpenSocket speaks to a switched socket over a connection of its
// own.
//
// StartBroker serves a small broker for people who have none.
package publish
