package metrics

import "github.com/prometheus/client_golang/prometheus"

func desc(name, help string, labels ...string) *prometheus.Desc {
	return daemonDesc(name, help, append([]string{"bath"}, labels...)...)
}

func daemonDesc(name, help string, labels ...string) *prometheus.Desc {
	return prometheus.NewDesc("bainward_"+name, help, labels, nil)
}

// What is told of each bath. Descriptions are constants in all but name.
var (
	temperature = desc("temperature_celsius", "Corrected temperature of a probe that is trusted.", "role")
	boiling     = desc("boiling_point_celsius", "Boiling point of water at the pressure of the moment.")
	pressure    = desc("pressure_pascals", "Air pressure as used, measured by a barometer or taken from the elevation.", "source")
	lastFrame   = desc("last_frame_timestamp_seconds", "When the probes were last read, by the computer's clock.")
	probeOK     = desc("probe_ok", "Whether a fitted probe is trusted.", "role")
	probeFault  = desc("probe_fault_info", "What is wrong with a probe that is not trusted; always 1.", "role", "fault")

	phase     = desc("phase", "Where the batch stands: 1 for the phase that holds.", "phase")
	hold      = desc("hold_seconds", "Time for which the oil has been at or above the floor.")
	holdAsked = desc("hold_asked_seconds", "Time for which the recipe wants the oil held.")
	floor     = desc("floor_celsius", "Oil temperature from which the hold counts.")
	ceiling   = desc("ceiling_celsius", "Oil temperature above which the batch is overheated.")
	oilMax    = desc("oil_max_celsius", "Highest trusted oil temperature of the batch.")
	topUps    = desc("batch_top_ups", "How often water was added in this batch.")

	// These bear the batch's number, so that a history tells one from the other.
	batchInfo    = desc("batch_info", "The batch on a bath, and what it is made by; always 1.", "batch", "recipe")
	batchHold    = desc("batch_hold_seconds", "Time for which the oil of a batch has been at or above the floor, by maceration.", "batch", "maceration")
	batchAsked   = desc("batch_hold_asked_seconds", "Time for which the recipe wants each maceration held.", "batch")
	batchMax     = desc("batch_oil_max_celsius", "Highest trusted oil temperature of a batch.", "batch")
	batchVerdict = desc("batch_verdict", "What is said of a batch: 1 for the verdict that holds.", "batch", "verdict")

	water     = desc("water_grams", "Liquid water left in the pan: one in ten chances below p10, half below p50, one in ten above p90.", "bound")
	boilOff   = desc("boil_off_grams_per_second", "Loss of water from the pan to the air.", "bound")
	toBare    = desc("time_to_bare_seconds", "Time until the dish base is bare if nothing is done; 0 when it is.", "bound")
	toDry     = desc("time_to_dry_seconds", "Time until no liquid water is left in the pan if nothing is done.", "bound")
	herbWater = desc("herb_water_grams", "Water that the herb still holds.", "bound")
	herbGone  = desc("herb_water_gone", "Whether the herb has given up its water.")
	bareSoon  = desc("bare_soon_ratio", "Chance that the dish base is bare, or will be within the time in which the maker wants to know.")
	toFloor   = desc("time_to_floor_seconds", "Time until the oil reaches the floor; 0 when it has.", "bound")
	toHeld    = desc("time_to_held_seconds", "Time until the hold is done; 0 when it is.", "bound")

	heatInWater = desc("heat_into_water_watts", "Heat from the hob into the water, less what the walls of the pan lose.", "bound")
	heatInDish  = desc("heat_into_dish_watts_per_kelvin", "Heat from the bath into the oil for each kelvin between them.", "bound")

	asks  = desc("top_up_asked", "Whether water was seen going in and nobody has said how much.")
	asked = desc("top_up_seen_grams", "About how much water was seen going in, while nobody has said how much it was.")

	alarmState = desc("alarm_state", "State of an alarm (IEC 62682): 1 for the state that holds.", "alarm", "state")
	alarmOpen  = desc("alarm_open", "Whether an alarm wants a person or still stands.", "alarm", "priority")
)

var allDescs = []*prometheus.Desc{
	temperature, boiling, pressure, lastFrame, probeOK, probeFault,
	phase, hold, holdAsked, floor, ceiling, oilMax, topUps,
	batchInfo, batchHold, batchAsked, batchMax, batchVerdict,
	water, boilOff, toBare, toDry, herbWater, herbGone, bareSoon, toFloor, toHeld,
	heatInWater, heatInDish, asks, asked,
	alarmState, alarmOpen,
}

// What is told of calls to people, the heartbeat and the cut-outs.
var (
	callsReady = daemonDesc("calls_ready", "Whether alarms were proven to reach a person lately.")
	callsOpen  = daemonDesc("calls_open", "Calls to people that wait for an answer.", "priority")
	wayWorked  = daemonDesc("last_proof_timestamp_seconds", "When a channel last reached a person, in a test or with an alarm, by the computer's clock.", "contact", "channel")

	notices        = daemonDesc("notices_total", "Messages to people, by what became of them; failed counts tries that are made again.", "channel", "result")
	noticesWaiting = daemonDesc("notices_waiting", "Messages to people that were neither delivered nor given up yet.", "channel")
	channelFailing = daemonDesc("channel_failing", "Whether the last try to send through a channel went wrong.", "channel")

	heartbeatCalls    = daemonDesc("heartbeat_calls_total", "Calls that tell somebody elsewhere that all is well, whatever became of them.")
	heartbeatFailures = daemonDesc("heartbeat_failures_total", "Calls of the heartbeat that did not arrive.")

	cutoutAllowed = desc("cutout_allowed", "Whether the cut-out lets the heat be on; it is no substitute for a safety device.")
	cutoutTripped = desc("cutout_tripped", "Whether an alarm cut the heat and nobody has given it back; the cut-out is no substitute for a safety device.")
)

var outwardDescs = []*prometheus.Desc{
	callsReady, callsOpen, wayWorked, notices, noticesWaiting, channelFailing,
	heartbeatCalls, heartbeatFailures, cutoutAllowed, cutoutTripped,
}
