// Package calibrate is the arithmetic of calibrating a probe at two points that
// every kitchen has: melting ice, and water at a rolling boil under a pressure that
// was measured.
//
// Start with Window, which says when the readings of a probe stand still and what
// they are then, and why they are not believed before. Ice and Boil say what is true
// at the two points and how well that is known; Fit puts a line through them and says
// how far off a corrected reading may be. Uncertainties follow JCGM 100:2008 (GUM):
// standard ones are combined as root of the sum of squares, expanded ones have k = 2.
//
// It is part of the pure core: no clock, no files. Temperatures are in °C and their
// differences in K, pressures in Pa, depths in m. It keeps no calibration and applies
// none: that is for rules.Correction and for whoever keeps the record.
package calibrate
