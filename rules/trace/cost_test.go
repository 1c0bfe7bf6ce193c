package trace_test

import (
	"bytes"
	"io"
	"testing"
	"time"

	"bainward/rules/trace"
	"bainward/sensors"
)

// seconds returns a trace of n seconds, one row each.
func seconds(n int) []trace.Row {
	rows := make([]trace.Row, n)
	for i := range rows {
		c := 20 + float64(i%1200)/16
		rows[i] = row(nine.Add(time.Duration(i)*time.Second), sensors.AtCelsius(c), sensors.AtCelsius(c+5))
		rows[i].At = time.Duration(i) * time.Second
		rows[i].Pressure = sensors.Pressure{Pascal: 100900 + int32(i%40)}
	}
	return rows
}

func BenchmarkReadTwoHours(b *testing.B) {
	var file bytes.Buffer
	if err := trace.Write(&file, seconds(7200)); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(file.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := trace.Read(bytes.NewReader(file.Bytes())); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteTwoHours(b *testing.B) {
	rows := seconds(7200)
	b.ReportAllocs()
	for b.Loop() {
		if err := trace.Write(io.Discard, rows); err != nil {
			b.Fatal(err)
		}
	}
}
