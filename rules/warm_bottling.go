package rules

import (
	"fmt"

	"bainward/sensors"
)

// BottlingLimits are what the rule warm-bottling goes by: oil is bottled at
// room temperature only (common practice, no source), for warm oil draws in
// damp air as it shrinks and sweats water under the cap.
type BottlingLimits struct {
	// AboveRoomK is how much warmer than the room the oil may be.
	AboveRoomK float64 `toml:"above_room_k" json:"above_room_k"`
	// RoomC stands in where no probe reads the room.
	RoomC float64 `toml:"room_c" json:"room_c"`
}

var defaultBottling = BottlingLimits{AboveRoomK: 3, RoomC: 24}

func judgeWarmBottling(cfg *Config, s *State) Finding {
	oil, room := &s.probes[sensors.Oil], &s.probes[sensors.Room]
	if !oil.good {
		return Finding{}
	}
	roomC := cfg.Limits.WarmBottling.RoomC
	if room.good {
		roomC = room.c
	}
	if oil.c > roomC+cfg.Limits.WarmBottling.AboveRoomK {
		return raised(0, oil.c, roomC)
	}
	return clear
}

func sayWarmBottling(f Finding, u Units) string {
	return fmt.Sprintf("Bottled at %s with the room at %s.", u.Temp(f.A), u.Temp(f.B))
}

const adviceWarmBottling = "Leave the bottles open under a cloth until they are at room temperature, look for water at the bottom, then close them."
