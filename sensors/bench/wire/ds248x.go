package wire

import "sync"

// Commands (DS2482-100, DS2482-800 and DS2483 data sheets, "function
// commands").
const (
	cmdDeviceReset   = 0xF0
	cmdSetPointer    = 0xE1
	cmdWriteConfig   = 0xD2
	cmdAdjustPort    = 0xC3 // DS2483
	cmdSelectChannel = 0xC3 // DS2482-800
	cmdWireReset     = 0xB4
	cmdWireBit       = 0x87
	cmdWireWrite     = 0xA5
	cmdWireRead      = 0x96
	cmdWireTriplet   = 0x78
)

// Read pointer codes (as above, "set read pointer").
const (
	pointStatus  = 0xF0
	pointData    = 0xE1
	pointConfig  = 0xC3
	pointChannel = 0xD2 // DS2482-800
	pointPort    = 0xB4 // DS2483
)

// Bits of the status register (as above, "status register"). Bit 0, busy, is
// never seen set: see the package comment.
const (
	statusPresence  = 1 << 1 // PPD
	statusShort     = 1 << 2 // SD
	statusLevel     = 1 << 3 // LL
	statusReset     = 1 << 4 // RST
	statusBit       = 1 << 5 // SBR
	statusTriplet   = 1 << 6 // TSB
	statusDirection = 1 << 7 // DIR
)

// configStrong is SPU in the configuration register: pull up strongly after
// the next byte or bit, until the one after it.
const configStrong = 1 << 2

type bridgeType uint8

const (
	ds2482x100 bridgeType = iota
	ds2482x800
	ds2483
)

// channelCodes are what selects each channel of a DS2482-800 and what it then
// reads back (data sheet, "channel select").
var channelCodes = [8]struct{ write, read byte }{
	{0xF0, 0xB8}, {0xE1, 0xB1}, {0xD2, 0xAA}, {0xC3, 0xA3},
	{0xB4, 0x9C}, {0xA5, 0x95}, {0x96, 0x8E}, {0x87, 0x87},
}

// Bridge is a DS248x: I²C on one side, 1-Wire on the other. It is a Device.
type Bridge struct {
	kind  bridgeType
	lines []*Line

	mu      sync.Mutex
	pointer byte
	status  byte // without statusLevel, which is looked at when asked for
	config  byte
	data    byte
	channel int
}

// NewDS2482 returns a DS2482-100, which has one line.
func NewDS2482(l *Line) *Bridge { return newBridge(ds2482x100, l) }

// NewDS2483 returns a DS2483: one line, and a port configuration register
// whose timings are taken and ignored.
func NewDS2483(l *Line) *Bridge { return newBridge(ds2483, l) }

// NewDS2482x800 returns a DS2482-800 with its eight lines.
func NewDS2482x800(lines [8]*Line) *Bridge { return newBridge(ds2482x800, lines[:]...) }

func newBridge(kind bridgeType, lines ...*Line) *Bridge {
	b := &Bridge{kind: kind, lines: lines}
	b.resetDevice()
	return b
}

func (b *Bridge) resetDevice() {
	b.pointer, b.status, b.config, b.channel = pointStatus, statusReset, 0, 0
}

func (b *Bridge) line() *Line { return b.lines[b.channel] }

// Tx implements Device.
func (b *Bridge) Tx(w, r []byte) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(w) > 0 {
		if err := b.obey(w[0], w[1:]); err != nil {
			return err
		}
	}
	for i := range r {
		r[i] = b.register()
	}
	return nil
}

func (b *Bridge) register() byte {
	switch b.pointer {
	case pointData:
		return b.data
	case pointConfig:
		return b.config
	case pointChannel:
		return channelCodes[b.channel].read
	case pointPort:
		return 0
	}
	if b.line().level() {
		return b.status | statusLevel
	}
	return b.status
}

func (b *Bridge) obey(command byte, args []byte) error {
	switch {
	case command == cmdAdjustPort && b.kind == ds2483:
		b.pointer = pointPort
		return nil
	case len(args) != arguments(command):
		return ErrNack
	}
	switch command {
	case cmdDeviceReset:
		b.resetDevice()
		return nil
	case cmdSetPointer:
		return b.setPointer(args[0])
	case cmdWriteConfig:
		return b.writeConfig(args[0])
	case cmdSelectChannel:
		return b.selectChannel(args[0])
	case cmdWireReset, cmdWireBit, cmdWireWrite, cmdWireRead, cmdWireTriplet:
		b.onWire(command, args)
		return nil
	}
	return ErrNack
}

// arguments returns how many bytes follow a command.
func arguments(command byte) int {
	switch command {
	case cmdDeviceReset, cmdWireReset, cmdWireRead:
		return 0
	}
	return 1
}

func (b *Bridge) setPointer(code byte) error {
	switch {
	case code == pointStatus, code == pointData, code == pointConfig,
		code == pointChannel && b.kind == ds2482x800,
		code == pointPort && b.kind == ds2483:
		b.pointer = code
		return nil
	}
	return ErrNack
}

// writeConfig takes a configuration only if its high nibble is the complement
// of the low one.
func (b *Bridge) writeConfig(v byte) error {
	if v>>4 != ^v&0x0F {
		return ErrNack
	}
	b.config, b.pointer = v&0x0F, pointConfig
	b.status &^= statusReset
	return nil
}

func (b *Bridge) selectChannel(code byte) error {
	if b.kind != ds2482x800 {
		return ErrNack
	}
	for i, c := range channelCodes {
		if c.write == code {
			b.channel, b.pointer = i, pointChannel
			return nil
		}
	}
	return ErrNack
}

func (b *Bridge) onWire(command byte, args []byte) {
	strong := b.config&configStrong != 0
	b.pointer = pointStatus
	switch command {
	case cmdWireReset:
		present, short := b.line().reset()
		b.flag(statusPresence, present)
		b.flag(statusShort, short)
	case cmdWireBit:
		b.flag(statusBit, b.line().bit(args[0]&0x80 != 0, strong))
	case cmdWireWrite:
		b.line().writeByte(args[0], strong)
	case cmdWireRead:
		b.data = b.line().readByte(strong)
	case cmdWireTriplet:
		id, complement, taken := b.line().triplet(args[0]&0x80 != 0)
		b.flag(statusBit, id)
		b.flag(statusTriplet, complement)
		b.flag(statusDirection, taken)
	}
	b.config &^= configStrong // it serves once
}

func (b *Bridge) flag(bit byte, on bool) {
	b.status &^= bit
	if on {
		b.status |= bit
	}
}
