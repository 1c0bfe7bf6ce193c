// Package trace reads and writes the trace file: what a bath's probes said and
// what the maker did, one instant a line. It is what replay takes and export
// gives.
//
// Start with Read and Row. The file is CSV after RFC 4180 in UTF-8:
//
//	time,oil_c,bath_c,room_c,pressure_hpa,event
//	2026-03-01T09:00:00Z,19.8125,18.5000,19.0,1009.3,fill 1.45 kg; charge
//
// The header names the columns, in any order. time (RFC 3339), oil_c and bath_c
// must be there; room_c, pressure_hpa and event may. An empty cell says that
// there was no reading, a missing column that there was no such probe.
// Lines end in LF or CRLF; a byte order mark and empty lines are passed over.
// Times never go back; two rows may share one instant, so that an event can
// stand on a line of its own. A leap second (23:59:60) is refused, because
// the offsets from which holds are counted know none: write it as second 59.
//
// A trace is read whole or not at all. The first thing that does not fit is an
// *Error that names its line and column; no row is returned with it.
//
// The package opens no file: it is part of the pure core.
package trace
