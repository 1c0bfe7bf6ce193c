// Package steam knows water and its vapour: at what temperature water boils
// under a pressure, how much heat it takes to make it vapour, how heavy it is,
// what the air pressure is at an elevation, and how fast an open pan loses
// water below the boil.
//
// Start with BoilingPoint. It is part of the pure core: floats in, floats out,
// the same bits on every machine, no allocation. Temperatures are in °C,
// pressures in Pa, everything else in SI units.
//
// Outside its range a function of pressure or elevation returns NaN, for then
// the question makes no sense and its asker must know. The properties of
// liquid water hold their end values instead: a pan that has run dry reads
// 200 °C, and the estimate of its water must not turn into NaN at the moment
// when it is wanted most. NaN in gives NaN out.
//
// It does not know superheated steam, ice, or water with something in it.
package steam
