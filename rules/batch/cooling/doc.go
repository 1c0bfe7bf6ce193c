// Package cooling foretells when a dish of hot oil will be cool enough to be
// bottled. Start with Predictor: show it the oil and the room as they are read
// and ask Until.
//
// A dish does not cool by Newton's law alone. At first vapour, radiation and the
// warm glass take heat faster than later, and a single exponential put through
// the first minutes foretells the end much too soon: of a mug of water whose
// cooling was published minute by minute, one exponential is off by up to 9 °C at
// the hot end, two are within 0.2 °C. So the predictor holds two,
//
//	oil - room = a·e^(-k·t) + b·e^(-r·k·t),  a, b >= 0, r > 1,
//
// for many k and r at once, finds the best a and b of each as readings come, and
// weighs the answers by how well each fits. While little has been seen, what is
// known of dishes in general carries the answer, and the range is wide.
//
// Newton is here as well, for arithmetic and as the measure to beat. All is part
// of the pure core; a Predictor is a plain value.
package cooling
