package sensors

// CRC8 is the 1-Wire checksum: polynomial x⁸+x⁵+x⁴+1, least significant bit
// first, starting at zero (Maxim Application Note 27). Running it over data
// that ends in its own CRC gives zero; so do nine zero bytes, which is why a
// wire held low must be told apart by other means.
func CRC8(data []byte) byte {
	var crc byte
	for _, b := range data {
		crc ^= b
		for range 8 {
			if crc&1 != 0 {
				crc = crc>>1 ^ 0x8C
			} else {
				crc >>= 1
			}
		}
	}
	return crc
}
