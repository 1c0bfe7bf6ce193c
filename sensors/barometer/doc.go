// Package barometer reads the air pressure with a Bosch BMP280 or BME280 on an
// I²C bus, through periph's bmxx80 package.
//
// Start with Open. None stands in for it where only the site's elevation is
// known.
//
// The boiling point moves by 0.28 °C a kilopascal, and the chip is good to a
// hectopascal, so that there is no use in asking more than once a second: calls
// in between get the same answer again.
//
// It does not use the chip's temperature or humidity: it sits on a warm board.
package barometer
