package w1

// SetKernel puts a kernel of a test's own in the place of sysfs.
func SetKernel(w *Wire, read func(path string) ([]byte, error), write func(path string, text []byte) error) {
	w.read, w.write = read, write
}
