package plot

import (
	"io"
	"testing"
	"time"
)

func BenchmarkText(b *testing.B) {
	c := demonstration()
	for b.Loop() {
		if err := Text(io.Discard, c, TextOptions{Unicode: true}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSVG(b *testing.B) {
	c := demonstration()
	for b.Loop() {
		if err := SVG(io.Discard, c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTable(b *testing.B) {
	c := demonstration()
	for b.Loop() {
		if err := Table(io.Discard, c, time.Hour); err != nil {
			b.Fatal(err)
		}
	}
}
