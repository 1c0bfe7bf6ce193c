// Package repeatable holds the elementary functions that the rules need, made
// so that every machine computes the same bits.
//
// The functions of package math do not promise that: some have an assembly
// body on one architecture and a Go body on another, and in the Go bodies the
// compiler may fuse x*y + z into one instruction with one rounding (it does on
// arm64, not on amd64). A record folded again on another machine would then
// give other findings. Here each product that is added to something is rounded
// first, float64(x*y) + z, which the language forbids to fuse (an assignment to a
// variable does not stop it), and of package math only functions with an exact
// result are called.
//
// Start with Exp and Log; Pow joins them through the pair arithmetic of
// pair.go. Erf, Erfc, Phi and Quantile serve probabilities, Cbrt the law of
// free convection. Polynomial is what the fits of other rooms are summed with.
//
// Each result is within 2 ulp of the true one (Quantile: 1e-15), which the tests
// hold against reference values of 60 digits and against package math.
//
// The tests here also guard the rest of the core: fused_test.go reads the
// arm64 code of every package of rules/ for fused instructions, purity_test.go
// reads its sources for calls that are not repeatable, and machines_test.go runs
// the transcripts of its rooms on other processors.
package repeatable
