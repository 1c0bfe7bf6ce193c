package wire

import "time"

// phase is what a chip expects of the next time slot.
type phase uint8

const (
	idle             phase = iota // nothing, until the next reset
	romCommand                    // a bit of a ROM command
	matching                      // a bit of the address that is meant
	searchBit                     // to send a bit of its address
	searchComplement              // to send that bit inverted
	searchChoice                  // the bit of those who go on
	function                      // a bit of a function command
	sending                       // to send a bit of out
	receiving                     // a bit of TH, TL and the configuration
	showing                       // to tell whether the conversion is done
	showingSupply                 // to tell whether it has a supply
)

// ROM commands (data sheet 19-7487, "ROM commands").
const (
	cmdSearch      = 0xF0
	cmdAlarmSearch = 0xEC
	cmdReadROM     = 0x33
	cmdMatchROM    = 0x55
	cmdSkipROM     = 0xCC
)

// Function commands (data sheet 19-7487, table 3).
const (
	cmdConvert         = 0x44
	cmdWriteScratchpad = 0x4E
	cmdReadScratchpad  = 0xBE
	cmdCopyScratchpad  = 0x48
	cmdRecall          = 0xB8
	cmdReadPowerSupply = 0xB4
)

// protocol is where a chip is in the talk that a reset pulse began.
type protocol struct {
	phase phase
	n     int  // bits of this phase that are done
	in    byte // the bits received since the last whole byte
	out   [9]byte
	last  int   // bits of out to send
	then  phase // follows when they are sent
}

func (p *protocol) expect(next phase) { p.phase, p.n, p.in = next, 0, 0 }

// send begins to send bytes; after them the line stays high.
func (p *protocol) send(bytes []byte, then phase) {
	p.expect(sending)
	p.last = 8 * copy(p.out[:], bytes)
	p.then = then
}

// reset answers a reset pulse; it reports whether there was a presence pulse.
func (c *Chip) reset() bool {
	if c.faults.Missing {
		c.phase = idle
		return false
	}
	c.expect(romCommand)
	return true
}

// drives returns the level at which the chip leaves the line in this slot.
func (c *Chip) drives(now time.Duration) bool {
	switch c.phase {
	case sending:
		return c.n >= c.last || c.out[c.n>>3]>>(c.n&7)&1 == 1
	case searchBit:
		return c.romBit()
	case searchComplement:
		return !c.romBit()
	case showing:
		return c.o.Parasite || !c.converting || now >= c.doneAt
	case showingSupply:
		return !c.o.Parasite
	}
	return true
}

func (c *Chip) romBit() bool { return c.o.Address>>c.n&1 == 1 }

// senses takes the level that the line had in this slot.
func (c *Chip) senses(level bool, now time.Duration) {
	switch c.phase {
	case sending:
		if c.n++; c.n == c.last && c.then != idle {
			c.expect(c.then)
		}
	case searchBit:
		c.phase = searchComplement
	case searchComplement:
		c.phase = searchChoice
	case searchChoice:
		c.sensesAddress(level, searchBit)
	case matching:
		c.sensesAddress(level, matching)
	case romCommand, function, receiving:
		c.sensesData(level, now)
	}
}

// sensesAddress goes on if the bit is the chip's own, and falls silent if not.
func (c *Chip) sensesAddress(level bool, next phase) {
	if level != c.romBit() {
		c.phase = idle
		return
	}
	c.phase = next
	if c.n++; c.n == 64 {
		c.expect(function)
	}
}

// sensesData collects a byte, least significant bit first.
func (c *Chip) sensesData(level bool, now time.Duration) {
	c.in >>= 1
	if level {
		c.in |= 0x80
	}
	if c.n++; c.n%8 != 0 {
		return
	}
	switch c.phase {
	case romCommand:
		c.obeyROM(c.in)
	case function:
		c.obey(c.in, now)
	case receiving:
		c.pad[byteHigh+c.n/8-1] = c.in
		if c.n == 24 {
			c.pad[byteConfig] = c.in&0x60 | 0x1F // the other bits are wired
			c.phase = idle
		}
	}
}

func (c *Chip) obeyROM(command byte) {
	switch command {
	case cmdSearch:
		c.expect(searchBit)
	case cmdAlarmSearch:
		if c.phase = idle; c.alarm {
			c.expect(searchBit)
		}
	case cmdReadROM:
		rom := c.o.Address.Bytes()
		c.send(rom[:], function)
	case cmdMatchROM:
		c.expect(matching)
	case cmdSkipROM:
		c.expect(function)
	default:
		c.phase = idle
	}
}

func (c *Chip) obey(command byte, now time.Duration) {
	switch command {
	case cmdConvert:
		c.convert(now)
		c.expect(showing)
	case cmdReadScratchpad:
		pad := c.damaged(c.scratchpad())
		c.send(pad[:], idle)
	case cmdWriteScratchpad:
		c.expect(receiving)
	case cmdCopyScratchpad:
		copy(c.eeprom[:], c.pad[byteHigh:])
		c.phase = idle
	case cmdRecall:
		copy(c.pad[byteHigh:], c.eeprom[:])
		c.phase = idle
	case cmdReadPowerSupply:
		c.expect(showingSupply)
	default:
		c.phase = idle
	}
}
