package repeatable

// The tail of the error function is written as
//
//	erfc(x) = exp(-x² + g(x)) / x,  g(x) = ln(x·e^(x²)·erfc(x)),
//
// where g is smooth and rises slowly, from -1.18 at 1/2 to -0.57 at infinity,
// so that a short polynomial holds it and an error of it enters the result
// without growing. tailMiddle is g - middleOffset in Chebyshev polynomials of
// (x-1)/(x+1) over 1/2 … 2, tailFar is g - farOffset in those of 1/x² over
// 2 … 28. Own fit: testdata/make.py; the terms left out are below 1e-18.
const (
	tailJoint    = 2.0
	middleOffset = -0.875
	farOffset    = -0.625
)

var tailMiddle = [...]float64{
	-0.011886336511264508084,
	0.24993263678769600022,
	-0.037677057332056826953,
	0.0031846157032811124832,
	-0.00040432552768525413709,
	0.000063592464340902517673,
	-8.281875530351175348e-6,
	1.23926947700797633e-6,
	-1.9143312217973137048e-7,
	2.8235859783111946969e-8,
	-4.4364835277573593745e-9,
	6.9183081750766529883e-10,
	-1.0791205897533116398e-10,
	1.7233530490086362019e-11,
	-2.7338178723129147438e-12,
	4.3789027305246427801e-13,
	-7.0568848573345724933e-14,
	1.1371115827110443871e-14,
	-1.8450192075954022774e-15,
	2.9979414479575632705e-16,
	-4.8849772233879681424e-17,
	7.9862239612493414811e-18,
	-1.3074084857577142277e-18,
}

var tailFar = [...]float64{
	0.000032056338451730090932,
	-0.049160946447881216938,
	0.0025415606811841947507,
	-0.00023113089789044209648,
	0.000027821901380515677626,
	-4.0000204628363267674e-6,
	6.5289820416247764894e-7,
	-1.1746808627323672728e-7,
	2.2857174369284995559e-8,
	-4.747134967842781067e-9,
	1.0422482066140419337e-9,
	-2.401424706044478201e-10,
	5.7734845130128782852e-11,
	-1.4417122747162059708e-11,
	3.7251992751335158339e-12,
	-9.9284292681146422186e-13,
	2.7221456085541259299e-13,
	-7.6603275811059162328e-14,
	2.2081428031787574132e-14,
	-6.5087579078562868133e-15,
	1.9588328133943308505e-15,
	-6.010867216616420617e-16,
	1.8784213706130792259e-16,
	-5.9716540035827738009e-17,
	1.9293807975475126095e-17,
	-6.3296401753670581287e-18,
	2.1068265883335980918e-18,
}

// tail returns exp(-square)·exp(g(x))/x for x ≥ 1/2. The caller gives x² apart,
// as a pair, because an error of one bit in it counts x² times in the result.
func tail(x float64, square pair) float64 {
	var g, offset float64
	if x < tailJoint {
		offset = middleOffset
		g = chebyshev(3*(x-1)/(x+1), tailMiddle[:])
	} else {
		const low, high = 1.0 / 784, 1.0 / 4
		offset = farOffset
		g = chebyshev((1/float64(x*x)-(low+high)/2)/((high-low)/2), tailFar[:])
	}
	e := sum(-square.hi, offset)
	return expPair(quickSum(e.hi, e.lo+(g-square.lo))) / x
}
