package freeze

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"reflect"
	"time"
	"unsafe"
)

// Kinds says what stands behind interfaces. Only pointers do.
type Kinds struct {
	// Name is the name of what a pointer points to, "" where it has none.
	Name func(v any) string
	// New makes an empty one, as a pointer.
	New func(name string) (v any, ok bool)
	// Func reports whether functions of a type are left out: whoever reads puts them
	// back.
	Func func(t reflect.Type) bool
}

// Bytes is a value, given as a pointer, frozen.
func (k Kinds) Bytes(v any) ([]byte, error) { return k.bytes(v, false) }

// Plain is the same for two values that are alike: without regard for what shares its
// memory, and for what fills a struct between its fields. It cannot be read again.
func (k Kinds) Plain(v any) ([]byte, error) { return k.bytes(v, true) }

func (k Kinds) bytes(v any, plain bool) (out []byte, err error) {
	defer caught(&err)
	w := &writer{kinds: k, plain: plain, pointers: map[pointer]uint64{}, flats: map[unsafe.Pointer]flat{},
		texts: map[string]uint64{}, contents: map[string]uint64{}}
	t := reflect.TypeOf(v).Elem()
	coderOf(t).write(w, reflect.ValueOf(v).UnsafePointer())
	return append(w.out, w.pointed...), nil
}

// Into makes of bytes what v points to.
func (k Kinds) Into(data []byte, v any) (err error) {
	defer caught(&err)
	r := &reader{kinds: k, data: data}
	coderOf(reflect.TypeOf(v).Elem()).read(r, reflect.ValueOf(v).UnsafePointer())
	if len(r.data) > 0 {
		fail("%d bytes too many", len(r.data))
	}
	return nil
}

type failure struct{ error }

func fail(format string, args ...any) { panic(failure{fmt.Errorf("freeze: "+format, args...)}) }

// caught turns a failure into an error, and what broken bytes can do beside it.
func caught(err *error) {
	switch x := recover().(type) {
	case nil:
	case failure:
		*err = x.error
	case error:
		*err = errors.Join(errors.New("freeze"), x)
	default:
		*err = fmt.Errorf("freeze: %v", x)
	}
}

type pointer struct {
	t reflect.Type
	p unsafe.Pointer
}

// flat is a list without pointers that stands in the bytes already.
type flat struct {
	id  uint64
	len int
}

type writer struct {
	kinds    Kinds
	plain    bool
	out      []byte
	pointers map[pointer]uint64
	flats    map[unsafe.Pointer]flat
	lists    uint64
	texts    map[string]uint64
	// Of plain values: what was pointed to, each content once; and how deep it is now.
	contents map[string]uint64
	pointed  []byte
	depth    uint64
}

// alike writes what a pointer points to as a number that all have that are alike.
func (w *writer) alike(key pointer, write func()) {
	id, known := w.pointers[key]
	if !known {
		outer := w.out
		w.out, w.depth = nil, w.depth+1
		w.pointers[key] = math.MaxUint32 + w.depth // a way back to what is not yet written
		write()
		content := string(w.out)
		w.out, w.depth = outer, w.depth-1
		if id, known = w.contents[content]; !known {
			id = uint64(len(w.contents) + 1)
			w.contents[content] = id
			w.pointed = append(w.pointed, content...)
		}
		w.pointers[key] = id
	}
	w.uint(id)
}

func (w *writer) uint(n uint64) { w.out = binary.AppendUvarint(w.out, n) }

func (w *writer) text(s string) {
	id, known := w.texts[s]
	if !known || w.plain {
		w.texts[s] = uint64(len(w.texts) + 1)
		w.uint(0)
		w.uint(uint64(len(s)))
		w.out = append(w.out, s...)
		return
	}
	w.uint(id)
}

type reader struct {
	kinds    Kinds
	data     []byte
	pointers []reflect.Value
	flats    []unsafe.Pointer
	lens     []int
	texts    []string
}

func (r *reader) uint() uint64 {
	n, size := binary.Uvarint(r.data)
	if size <= 0 {
		fail("a number is cut off")
	}
	r.data = r.data[size:]
	return n
}

// count is a number of things of so many bytes each at least.
func (r *reader) count(size int) int {
	n := r.uint()
	if n > uint64(len(r.data)/max(size, 1))+1 {
		fail("%d are more than there can be", n)
	}
	return int(n)
}

func (r *reader) take(n int) []byte {
	if n < 0 || n > len(r.data) {
		fail("bytes are cut off")
	}
	out := r.data[:n]
	r.data = r.data[n:]
	return out
}

func (r *reader) text() string {
	id := r.uint()
	if id == 0 {
		s := string(r.take(r.count(1)))
		r.texts = append(r.texts, s)
		return s
	}
	return r.texts[id-1]
}

// coder writes and reads values of one type.
type coder struct {
	write func(w *writer, p unsafe.Pointer)
	read  func(r *reader, p unsafe.Pointer)
}

var (
	timeType = reflect.TypeFor[time.Time]()
	zoneType = reflect.TypeFor[*time.Location]()
)

// scalar is a value that is kept as a number.
func scalar(to func(p unsafe.Pointer) uint64, from func(p unsafe.Pointer, n uint64)) coder {
	return coder{func(w *writer, p unsafe.Pointer) { w.uint(to(p)) }, func(r *reader, p unsafe.Pointer) {
		from(p,
			r.uint())
	}}
}

func number[T int | int8 | int16 | int32 | int64 | uint | uint8 | uint16 | uint32 | uint64](signed bool) coder {
	return scalar(func(p unsafe.Pointer) uint64 {
		if n := int64(*(*T)(p)); signed {
			return uint64(n<<1) ^ uint64(n>>63)
		}
		return uint64(*(*T)(p))
	}, func(p unsafe.Pointer, n uint64) {
		if signed {
			n = uint64(int64(n>>1) ^ -int64(n&1))
		}
		*(*T)(p) = T(n)
	})
}

var scalars = map[reflect.Kind]coder{
	reflect.Int: number[int](true), reflect.Int8: number[int8](true), reflect.Int16: number[int16](true),
	reflect.Int32: number[int32](true), reflect.Int64: number[int64](true),
	reflect.Uint: number[uint](false), reflect.Uint8: number[uint8](false), reflect.Uint16: number[uint16](false),
	reflect.Uint32: number[uint32](false), reflect.Uint64: number[uint64](false),
	reflect.Bool: scalar(func(p unsafe.Pointer) uint64 {
		if *(*bool)(p) {
			return 1
		}
		return 0
	}, func(p unsafe.Pointer, n uint64) { *(*bool)(p) = n == 1 }),
	reflect.Float64: scalar(func(p unsafe.Pointer) uint64 { return math.Float64bits(*(*float64)(p)) },
		func(p unsafe.Pointer, n uint64) { *(*float64)(p) = math.Float64frombits(n) }),
	reflect.Float32: scalar(func(p unsafe.Pointer) uint64 { return uint64(math.Float32bits(*(*float32)(p))) },
		func(p unsafe.Pointer, n uint64) { *(*float32)(p) = math.Float32frombits(uint32(n)) }),
	reflect.String: {func(w *writer, p unsafe.Pointer) { w.text(*(*string)(p)) }, func(r *reader,
		p unsafe.Pointer) {
		*(*string)(p) = r.text()
	}},
}

// instants keep the second, its parts, and the zone by its name.
var instants = coder{
	func(w *writer, p unsafe.Pointer) {
		t := *(*time.Time)(p)
		w.uint(uint64(t.Unix()))
		w.uint(uint64(t.Nanosecond()))
		if t.Location() == time.UTC {
			w.uint(0)
			return
		}
		_, off := t.Zone()
		w.uint(1)
		w.text(t.Location().String())
		w.uint(uint64(off + 86400))
	},
	func(r *reader, p unsafe.Pointer) {
		sec, ns := int64(r.uint()), int64(r.uint())
		t := time.Unix(sec, ns).UTC()
		if r.uint() == 1 {
			name := r.text()
			zone := time.FixedZone(name, int(r.uint())-86400)
			if name == "Local" {
				zone = time.Local
			} else if z, err := time.LoadLocation(name); name != "" && err == nil {
				zone = z
			}
			t = t.In(zone)
		}
		*(*time.Time)(p) = t
	},
}
