// Package bench is a simulated water bath, made to test what the rules say
// about a real one: a pan on a hob, water that boils off, a glass dish with
// herb and oil, the probes in them, and a maker who does what a script says.
//
// Start with Rig (everything that is fixed before the hob is lit) and Pan (the
// physics, stepped by Advance). Probe is how a DS18B20 sees it. Script is what
// happens when; Run plays a script and gives frames with the truth beside
// them; Live plays one in step with a caller's clock. Vary draws sane rigs that
// differ, and Attend writes the script of a maker who looks after a rig.
//
// It is an adversary: it shares no law and no code with the rules. Water and
// steam follow the equations of Saul and Wagner (IAPWS SR1-86), not IF97;
// evaporation below the boil follows Carrier; the dish, the oil and the herb
// are heat balances with transfer coefficients of the usual size. What is not
// published is varied widely by Vary instead of being called known.
//
// Left out: salts in the water, waves and splashing over the rim, layers in the
// oil, water that drips from a lid into the dish, smoke and fire. Above some
// 200 °C in the oil or 500 °C in the pan it says "far too hot" and no more.
package bench
