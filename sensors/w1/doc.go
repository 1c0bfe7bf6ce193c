// Package w1 reads DS18B20 thermometers through the files of the Linux kernel's
// 1-Wire driver (w1_therm), below /sys/bus/w1/devices.
//
// Start with Open; it gives a Wire, which is a sensors.Source. ParseSlave reads
// the text of one w1_slave file.
//
// The kernel's own verdict is not taken: a wire held low passes its checksum,
// and a damaged reading stands beside the temperature of a good one. The nine
// scratchpad bytes are, and sensors.History judges them.
//
// # How long a poll takes
//
// Where a 1-Wire master of the kernel has the file therm_bulk_read, one write
// to it makes all its probes convert at once: a poll is then one conversion
// (750 ms at 12 bits) and a short read for each probe, about 15 ms. The file
// belongs to root: unless the daemon's user may write to it, a poll goes on as
// on kernels that do not have it.
//
// Without it, every read of a w1_slave makes a conversion of its own. All probes
// are asked at the same time. While a probe with its own supply converts, the
// driver lets go of the wire, so that the conversions overlap; one on parasite
// power holds the wire for its whole 750 ms, and N of them take N times that
// (convert_t in drivers/w1/slaves/w1_therm.c, from memory). A poll every second
// needs the bulk file, then, or supply wires.
//
// # What it cannot tell
//
// Since Linux 5.8 the kernel shows an empty file for a probe that does not
// answer and for one whose bytes were damaged five times in a row. Both are
// Absent here; sensors/bridge can tell them apart.
//
// Probes lists what the kernel lists. It searches about every ten seconds, and
// forgets a lost probe only after several searches without it.
//
// A DS1825 is understood only with its four address pins high, as its other
// addresses stand where a DS18B20 has ones.
//
// # What it does not do
//
// It writes nothing but the bulk trigger: neither resolution nor alarm limits.
// It cannot stop a read that hangs in the kernel; it leaves it behind, at most
// one for each probe, and reports the probe Absent.
package w1
