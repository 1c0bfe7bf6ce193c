// Package balance estimates what is happening in the pan: how much water is
// left, how fast it boils off, when the dish base will be bare, and how much
// water the herb still holds, each with its uncertainty.
//
// Start with State.Step. A small Kalman filter (thought) carries four things
// that hang together: the water in the pan, the water that it takes to wet the
// base, the heat from the hob, and how far this pan strays from the law of
// evaporation. It learns only where the temperatures say something:
//
//   - heat.go: below the boil the slope of the bath, times what pan and water
//     take up, is the heat of the hob less what evaporates and what the dish
//     takes. The first ramp tells it, and the climb back after each top-up.
//   - pour.go: water that was poured in, entered or seen as a dip.
//   - dish.go: the heat that the dish takes, and the herb's water, from the oil.
//   - foresee.go: from all that, the time until the base is bare.
//
// On the plateau the temperature says nothing about the hob. There the water is
// reckoned and the doubt about the heat grows until something tells again.
//
// It is part of the pure core: values in, values out. It refuses to guess
// what no reading and no entry supports: the range is then wide, or unknown.
package balance
