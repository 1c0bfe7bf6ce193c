// Package sensors holds the words of measuring: a Reading is a value or a
// fault, a Frame is what one bath's probes said at one instant, a Source is
// something that can be asked for readings.
//
// Start with Reading. The drivers live in the rooms below: w1 (the kernel's
// files), bridge (a DS248x on I²C), barometer (a BMP280/BME280 or the site's
// elevation) and bench (emulated chips on a simulated bath). They all decode
// DS18B20 scratchpads with Decode, so that a fault has one meaning everywhere.
//
// This package judges a single scratchpad. Faults that need a history of
// readings (stuck, jumped) belong to the rules.
package sensors
