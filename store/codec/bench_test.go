package codec

import "testing"

func BenchmarkEncode(b *testing.B) {
	rec := sample()
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Encode(rec, Hash{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDecode(b *testing.B) {
	sealed, _, err := Encode(sample(), Hash{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Decode(sealed, Hash{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	sealed, _, err := Encode(sample(), Hash{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Check(sealed, Hash{}); err != nil {
			b.Fatal(err)
		}
	}
}
