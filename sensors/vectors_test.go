package sensors_test

import "bainward/sensors"

// roms are ROM codes as sent on the wire, with the kernel's name and what Judge
// says of the address. All but the first are from C. Petrich,
// github.com/cpetrich/counterfeit_DS18B20 (README of 2024-11-30); every CRC
// was computed anew.
var roms = []struct {
	wire [8]byte
	name string
	make sensors.Make
	from string
}{
	{[8]byte{0x02, 0x1C, 0xB8, 0x01, 0x00, 0x00, 0x00, 0xA2}, "02-00000001b81c", sensors.AddressOdd, "Maxim Application Note 27, no thermometer"},
	{[8]byte{0x28, 0x13, 0x9B, 0xBB, 0x0B, 0x00, 0x00, 0x1F}, "28-00000bbb9b13", sensors.LooksGenuine, "genuine A1"},
	{[8]byte{0x28, 0xCA, 0xD6, 0x10, 0x10, 0x00, 0x00, 0xFE}, "28-00001010d6ca", sensors.LooksGenuine, "genuine A1, 2024"},
	{[8]byte{0x28, 0x19, 0x00, 0x00, 0xB7, 0x5B, 0x00, 0x41}, "28-005bb7000019", sensors.AddressOdd, "family A2"},
	{[8]byte{0x28, 0x3E, 0x43, 0x87, 0x00, 0x00, 0x00, 0x18}, "28-00000087433e", sensors.AddressOdd, "family A3, made to deceive"},
	{[8]byte{0x28, 0xAA, 0x3C, 0x61, 0x55, 0x14, 0x01, 0xF0}, "28-011455613caa", sensors.AddressOdd, "family B1"},
	{[8]byte{0x28, 0xAB, 0x9C, 0xB1, 0x33, 0x14, 0x01, 0x81}, "28-011433b19cab", sensors.AddressOdd, "family B1"},
	{[8]byte{0x28, 0xFF, 0x7C, 0x5A, 0x61, 0x16, 0x04, 0xEE}, "28-0416615a7cff", sensors.AddressOdd, "family B2"},
	{[8]byte{0x28, 0xFF, 0x64, 0x1D, 0xCD, 0x96, 0xF2, 0x01}, "28-f296cd1d64ff", sensors.AddressOdd, "family C"},
	{[8]byte{0x28, 0x24, 0x1D, 0x77, 0x91, 0x04, 0x02, 0xCE}, "28-020491771d24", sensors.AddressOdd, "family D1"},
	{[8]byte{0x28, 0x9E, 0x9C, 0x1F, 0x00, 0x00, 0x80, 0x04}, "28-8000001f9c9e", sensors.AddressOdd, "unknown copy"},
}

// pads are scratchpads with what they mean as a first reading, and what Judge
// says of them behind a genuine address. Those of families are from the same
// source; every CRC was computed anew.
var pads = []struct {
	pad  [9]byte
	want sensors.Reading
	make sensors.Make
	from string
}{
	{[9]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x1C}, sensors.Failed(sensors.PowerOn), sensors.LooksGenuine, "power-up of A1, B1, B2"},
	{[9]byte{0x50, 0x05, 0x00, 0x00, 0x1F, 0xFF, 0x0C, 0x10, 0x74}, sensors.Failed(sensors.PowerOn), sensors.LooksGenuine, "power-up of A1-fishy, 9 bits"},
	{[9]byte{0x50, 0x05, 0x7F, 0x80, 0x7F, 0xFF, 0x0C, 0x10, 0x93}, sensors.Failed(sensors.PowerOn), sensors.LooksGenuine, "power-up of A3"},
	{[9]byte{0x50, 0x05, 0x55, 0x00, 0x7F, 0xFF, 0x0C, 0x10, 0x21}, sensors.Failed(sensors.PowerOn), sensors.LooksGenuine, "power-up of C and F"},
	{[9]byte{0x50, 0x05, 0x55, 0xAA, 0x7F, 0xFF, 0x0C, 0x10, 0xAF}, sensors.Failed(sensors.PowerOn), sensors.LooksGenuine, "power-up of G and H"},
	{[9]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x10, 0x10, 0xBD}, sensors.AtCelsius(85), sensors.LooksGenuine, "a true 85.0 °C"},
	{[9]byte{0xB8, 0x01, 0x4B, 0x46, 0x7F, 0xFF, 0x08, 0x10, 0x8A}, sensors.AtCelsius(27.5), sensors.LooksGenuine, "a public test fixture"},
	{[9]byte{0x91, 0x01, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x70}, sensors.AtCelsius(25.0625), sensors.SixOdd, "constructed; a genuine chip has 0Fh in byte 6"},
	{[9]byte{0x40, 0x06, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x0F}, sensors.AtCelsius(100), sensors.SixOdd, "constructed; a genuine chip has 10h in byte 6"},
	{[9]byte{0xFF, 0x07, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0xA6}, sensors.Failed(sensors.ConversionFailed), sensors.MakeUnknown, "127.9375 °C, the failure pattern"},
}

// sealed returns eight bytes with their CRC.
func sealed(b ...byte) [9]byte {
	var pad [9]byte
	copy(pad[:8], b)
	pad[8] = sensors.CRC8(pad[:8])
	return pad
}

// padAt returns a scratchpad at 12 bits with the given temperature bytes and
// byte 6.
func padAt(raw uint16, six byte) [9]byte {
	return sealed(byte(raw), byte(raw>>8), 0x4B, 0x46, 0x7F, 0xFF, six, 0x10)
}

// genuineAt returns what a genuine chip holds after a conversion.
func genuineAt(raw uint16) [9]byte { return padAt(raw, 0x10-byte(raw&0x0F)) }

// copyAt returns what a copy holds whose byte 6 never changes.
func copyAt(raw uint16) [9]byte { return padAt(raw, 0x0C) }
