// Package site reads the site file: what a person writes down once about a
// workshop, its baths, probes and recipes, and who is called when an alarm wants
// somebody. It parses, checks, explains, and
// turns a bath and a recipe into the rules' Config.
//
// Start with Load or Parse. The file is TOML v1.0 and strict: an unknown key, a
// missing size, a probe named twice are errors that name the line, and all that
// can be found in one reading are reported together (see Errors). Nothing is
// guessed that a wrong guess could burn: sizes, probes and the elevation have
// no default.
//
// A complete example with a comment beside every key is
// testdata/sites/alder-yard.toml; Starter writes the same for probes just found.
//
// # Keys
//
//	[site]
//	name                   text for people, required
//	elevation_m            height above sea level, -430 to 6000, required
//	units                  "metric" (default) or "us": how people read quantities
//	time_zone              of the clocks there, a name of the IANA data base such as
//	                       "Europe/Dublin"; default "UTC". Pages, papers, text and quiet
//	                       hours go by it; where none is named pages go by the clock of
//	                       whoever reads, and quiet hours by that of this machine
//	listen                 host:port of the pages; default 127.0.0.1:8470; what other
//	                       machines reach wants a [[person]]
//	record                 folder of the record; default: see Site.RecordFolder
//
//	[thin]                 absent: every reading is kept for good
//	after_days             31 to 3653: readings between batches that are older are thinned
//	                       out; those of batches never are
//	every_s                2 to 3600: one reading in so many seconds is kept
//
//	[[wire]]               none given: one kernel wire
//	kind                   "kernel" or "bridge", required
//	name                   needed only when a bath names its wire
//	root                   kernel: folder of the 1-Wire devices, default the kernel's own
//	bus                    bridge: name of the I²C bus, such as "1"
//	address                bridge: I²C address, 0x18 (default) to 0x1F
//	channel                bridge: which wire of an eight-wire bridge, 0 (default) to 7
//
//	[barometer]            absent: the pressure follows from elevation_m
//	bus                    name of the I²C bus, such as "1"
//	address                0x76 (default) or 0x77
//
//	[broker]               absent: nothing is published
//	url                    mqtt://host[:port] or mqtts://host[:port]; or instead
//	embedded               host:port at which the daemon serves a broker itself;
//	                       with an account if other machines can reach it
//	name, password_file    account, and the file that holds its password
//	topic                  prefix of every topic, default bainward
//	orders                 "signed" or "open": who there may act on the baths; needs an
//	                       account; default nobody
//	orders_key_file        the key of signed orders; see MinKey
//
//	[phone]                what all calls to people have in common
//	address                http(s)://host[:port] of the pages, as phones reach them
//	repeat_min             1 to 20, default 3: an unanswered high or critical alarm again
//	subject                mailto: or https:, for push services (RFC 8292); push needs it
//
//	[[channel]]            none given: nobody can be called
//	name                   letters, digits, - and _, required, unique
//	kind                   "push", "service", "mail", "webhook" or "pin", required
//	contact                push: whose devices, required
//	url_file, url_env      service, webhook: where the address is kept, one of them
//	key_file, key_env      webhook: where the key is kept, one of them; see MinKey
//	host, port             mail: the server; default port 587, or 465 or 25 as tls says
//	tls                    mail: "starttls" (default), "tls", or "none" (only to localhost)
//	user                   mail: account; then one of
//	password_file, password_env
//	from, to               mail: one address; and a list of them; required
//	picture                mail, webhook: true sends a drawing along, default false
//	pin                    pin: GPIO2 to GPIO27, required, used for nothing else
//	active                 pin: "high" (default) or "low"
//	least                  pin: quieter alarms are not shown, default "medium"
//	steady                 pin: true is simply on, default false
//
//	[[contact]]            in the order of calling; none given: nobody is called
//	name                   required, unique whatever the case
//	channels               list of channels that are not on a pin, required
//	wait_min               1 to 20, default 5: unanswered so long, the next is called too
//	least                  quieter alarms do not call them, default "low"
//	quiet                  local times, such as "22:00-07:00"
//
//	[heartbeat]            absent: none
//	url_file, url_env      where the address is kept, one of them
//	every_s                10 to 900, default 60
//
//	[[sibling]]            needs [broker]
//	site                   name of another site whose last will is watched, required
//
//	[[cutout]]             at most one a bath; no substitute for a safety device
//	bath                   name of the [[bath]], required
//	pin, mode              GPIO2 to GPIO27, and "pulse" or "level"; or instead
//	topic                  what the broker is told; needs [broker]
//	on, off, every_s       what is published, default "ON" and "OFF", and how often,
//	                       1 to 60, default 10
//
//	[[person]]             none given: nobody signs in, only this machine is served
//	name                   required, unique whatever the case
//	role                   "viewer", "maker", "auditor" or "keeper", required
//
//	[door]                 how the pages are come to
//	people_file            of passwords; default: people in the folder of the record
//	tls_cert, tls_key      PEM files of a certificate; default: a self-made one where
//	                       other machines reach the pages
//	tls                    "self-made": one for this machine alone too
//	hosts                  further names by which the pages are asked for
//	metrics_token_file     what a Prometheus elsewhere shows; see MinKey
//
//	[[bath]]               at least one
//	name                   letters, digits, - and _, required, unique
//	pan_inside_diameter_mm, dish_outside_diameter_mm, dish_base_height_mm
//	                       sizes of the rig, required
//	wets_base_g            cold water that just wets the base, weighed; within 0.6 to
//	                       1.6 of what the sizes make
//	pan_depth_mm, dish_depth_mm
//	                       inside; for the plan of a batch, as the two below
//	dish_kg                the empty dish, 0.05 to 20
//	hob_w                  heat that gets into the water at full, 100 to 6000 W
//	oil_probe, bath_probe  such as "28-00000bbb9b13", required
//	room_probe             baths in one room may share it
//	wire                   name of the [[wire]] that carries the probes; default: any
//
//	[[place]]              where bottles stand; none given: nobody measures it
//	name                   "fridge", "cool" or "room", required, unique
//	probe                  that hangs there, used for nothing else, required
//	wire                   name of the [[wire]] that carries it; default: any
//	warm_c                 0 to 40: when its mean kinetic temperature of a day is above
//	                       it, the shelf says so; default 8, 15 or 25 (USP <659>, from
//	                       memory)
//
//	[[probe]]              calibration of one probe, see Calibration
//	address                required
//	calibrated_on          date, such as 2026-02-14, required
//	ice_reads_c            reading in melting ice and water, required
//	boil_reads_c           reading in boiling water, required
//	boil_true_c            boiling point at that moment; or instead
//	boil_pressure_hpa      air pressure at that moment, not reduced to sea level
//	uncertainty_c          expanded uncertainty (k = 2) after the correction
//
//	[[recipe]]             none given: the plain recipe; more can be made on the page
//	name                   required, unique
//	herb, fresh, herb_g, oil
//	oil_ml                 1 to 100,000; or instead, better for a plan,
//	oil_g                  the oil weighed
//	oil_measured_at_c      of oil_ml, 5 to 120, default 20: warm oil takes more room
//	herb_bulk_ml           herb_g of the chopped herb, pressed into a jug
//	sample_fresh_g, sample_dried_g
//	                       a handful of fresh herb weighed before and after drying:
//	                       how much of it is water
//	sample_oven_dried      true: until it lost no more; default: in air until it crackled
//	press                  how the herb is strained: "none" (default), "hand" or "screw"
//	hold_min               1 to 1440, default 120
//	macerations            1 to 10, default 1
//	floor_below_boiling_c  default 15; or instead
//	floor_c                a fixed floor
//	oil_ceiling_c          default: the boiling point plus the probe's uncertainty
//
//	[limits.RULE-ID] and [recipe.limits.RULE-ID] under a [[recipe]]
//	                       limits of one rule; see the rule's file. What a recipe
//	                       says goes before what the site says.
//
// # Secrets
//
// No password, key or address that works like one stands in the site file: it
// names a file, or a variable of the environment (SecretRef). They are read when
// they are needed. CheckSecrets looks whether they are there, and no error of
// this package repeats one, not even where it was typed into the file by mistake.
//
// This package opens no wire, no bus and no socket: it only says which to open.
package site
