// Package cooling foretells when a dish of hot oil will be cool enough to be
// bottled. Start with Predictor: show it the oil and the room as they are read
// and ask Until.
//
// A dish does not cool by Newton's law alone. At first vapour, radiation and the
// warm glass take heat faster than later, and a single exponential put through
// the first minutes foretells the end much too soon: of a mug of water whose
// cooling was published minute by minute, one exponential is off by up to 9 °C at
// the hot end, two are within 0.2 °C. Other dishes begin slowly, for warm oil holds
// more heat a degree. Nor does oil tend to what the room's probe says: the two probes
// differ, and oil lags behind a room that drifts. So the predictor holds
//
//	oil - room = (a-b)·e^(-k·t) + b·e^(-r·k·t) + c,  r > 2,
//
// for many k and r at once, with b of either sign. For each it weighs the readings
// against what is held likely of a, b and c, in closed form, and it weighs the
// answers by how likely each k and r is after all that was read. The range is what
// is left of all these doubts: while little has been seen it is wide, and where the
// end hangs on a degree between two probes it stays so.
//
// # What is held likely at first
//
// These come from heat losses and the mug, not from the simulated bath of
// sensors/bench. How wide the ranges are was chosen by looking at how often they
// hold over drawn bodies, simulated dishes among them, so the bench is no witness
// for that.
//
//   - The slow exponential falls to 1/e in 65 min; two in three do in half to twice
//     that. A flat dish holds 22 kg/m² of oil at 2.0 kJ/(kg·K) and 36 kg/m² of glass
//     at 0.84, and loses 8 to 10 W/(m²·K) from the oil, as much from the base and half
//     as much from the side: 76 kJ over 22 W, 58 min. A jar, 15 cm deep and 10 wide,
//     comes to 65 min, the published mug to 74, a bucket to 180 (own estimates but for
//     the mug; coefficients of the usual size for still air, from memory).
//   - A seventh of the first gap falls fast, give or take a quarter. Of a body with a
//     steady coefficient none does; the published mug of open water has 0.34. Bare oil
//     gives off no vapour: radiation and free convection take a third more from it a
//     degree at 70 °C over the room than at 10, it holds a tenth more heat there, and
//     that is a share of 0.1 to 0.2 at twice the rate (own estimate).
//   - c is nothing, give or take what two probes differ (0.4 °C), if the room stays.
//     Behind a drifting room oil comes to lag by drift/k. The drift is that of the
//     readings of the room, which are weighed against 0 ± 1 °C an hour, and a room
//     changes it by 0.5 °C an hour later (own estimates).
//
// The tests draw bodies of four kinds, none of them from these: simulated dishes,
// the published mug at other sizes, Newton's bodies, and dishes of two exponentials
// in all proportions, in rooms that drift and swing, and count how often the range
// holds.
//
// Newton is here as well, for arithmetic and as the measure to beat. All is part
// of the pure core; a Predictor is a plain value.
package cooling
