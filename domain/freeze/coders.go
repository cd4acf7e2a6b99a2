package freeze

import (
	"bytes"
	"reflect"
	"slices"
	"sync"
	"time"
	"unsafe"
)

var (
	coders  = map[reflect.Type]*coder{}
	coderMu sync.Mutex
)

// coderOf makes the coder of a type once.
func coderOf(t reflect.Type) *coder {
	coderMu.Lock()
	defer coderMu.Unlock()
	return coderFor(t)
}

func coderFor(t reflect.Type) *coder {
	c := coders[t]
	if c == nil {
		c = &coder{} // a type may hold itself
		coders[t] = c
		*c = makeCoder(t)
	}
	return c
}

func makeCoder(t reflect.Type) coder {
	switch {
	case t == timeType:
		return instants
	case t == zoneType:
		return zones
	}
	if c, ok := scalars[t.Kind()]; ok {
		return c
	}
	switch t.Kind() {
	case reflect.Struct:
		return structs(t)
	case reflect.Array:
		return arrays(t)
	case reflect.Pointer:
		return pointers(t)
	case reflect.Slice:
		if isFlat(t.Elem()) {
			return flats(t)
		}
		return lists(t)
	case reflect.Map:
		return maps(t)
	case reflect.Interface:
		return faces(t)
	case reflect.Func:
		return funcs(t)
	}
	no := func() { fail("%s cannot be kept", t) }
	return coder{func(*writer, unsafe.Pointer) { no() }, func(*reader, unsafe.Pointer) { no() }}
}

// isFlat reports whether values of a type hold no pointers.
func isFlat(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			if !isFlat(t.Field(i).Type) {
				return false
			}
		}
		return true
	case reflect.Array:
		return isFlat(t.Elem())
	case reflect.String:
		return false
	}
	_, number := scalars[t.Kind()]
	return number
}

// zones keep a place's time by its name.
var zones = coder{
	func(w *writer, p unsafe.Pointer) {
		z := *(**time.Location)(p)
		if z == nil {
			w.uint(0)
			return
		}
		w.uint(1)
		w.text(z.String())
	},
	func(r *reader, p unsafe.Pointer) {
		if r.uint() == 0 {
			return
		}
		z, err := time.LoadLocation(r.text())
		if err != nil {
			fail("%v", err)
		}
		*(**time.Location)(p) = z
	},
}

func structs(t reflect.Type) coder {
	type field struct {
		off uintptr
		c   *coder
	}
	var all []field
	for i := range t.NumField() {
		f := t.Field(i)
		all = append(all, field{f.Offset, coderFor(f.Type)})
	}
	return coder{
		func(w *writer, p unsafe.Pointer) {
			for _, f := range all {
				f.c.write(w, unsafe.Add(p, f.off))
			}
		},
		func(r *reader, p unsafe.Pointer) {
			for _, f := range all {
				f.c.read(r, unsafe.Add(p, f.off))
			}
		},
	}
}

func arrays(t reflect.Type) coder {
	c, size, n := coderFor(t.Elem()), t.Elem().Size(), t.Len()
	return coder{
		func(w *writer, p unsafe.Pointer) {
			for i := range n {
				c.write(w, unsafe.Add(p, uintptr(i)*size))
			}
		},
		func(r *reader, p unsafe.Pointer) {
			for i := range n {
				c.read(r, unsafe.Add(p, uintptr(i)*size))
			}
		},
	}
}

// pointers are written once, and by their number from then on.
func pointers(t reflect.Type) coder {
	elem := t.Elem()
	c := coderFor(elem)
	return coder{
		func(w *writer, p unsafe.Pointer) {
			to := *(*unsafe.Pointer)(p)
			if to == nil {
				w.uint(0)
				return
			}
			key := pointer{elem, to}
			if w.plain {
				w.alike(key, func() { c.write(w, to) })
				return
			}
			if id, known := w.pointers[key]; known {
				w.uint(id + 1)
				return
			}
			w.pointers[key] = uint64(len(w.pointers) + 1)
			w.uint(1)
			c.write(w, to)
		},
		func(r *reader, p unsafe.Pointer) {
			switch id := r.uint(); id {
			case 0:
			case 1:
				v := reflect.New(elem)
				r.pointers = append(r.pointers, v)
				*(*unsafe.Pointer)(p) = v.UnsafePointer()
				c.read(r, v.UnsafePointer())
			default:
				v := r.pointers[id-2]
				if v.Type().Elem() != elem {
					fail("a pointer to %s is one to %s", elem, v.Type().Elem())
				}
				*(*unsafe.Pointer)(p) = v.UnsafePointer()
			}
		},
	}
}

// header is how a slice lies in memory.
type header struct {
	data     unsafe.Pointer
	len, cap int
}

func lists(t reflect.Type) coder {
	c, size := coderFor(t.Elem()), t.Elem().Size()
	return coder{
		func(w *writer, p unsafe.Pointer) {
			h := (*header)(p)
			if h.data == nil {
				w.uint(0)
				return
			}
			w.uint(uint64(h.len + 1))
			for i := range h.len {
				c.write(w, unsafe.Add(h.data, uintptr(i)*size))
			}
		},
		func(r *reader, p unsafe.Pointer) {
			n := r.count(0) - 1
			if n < 0 {
				return
			}
			v := reflect.MakeSlice(t, n, n)
			data := v.UnsafePointer()
			*(*header)(p) = header{data, n, n}
			for i := range n {
				c.read(r, unsafe.Add(data, uintptr(i)*size))
			}
		},
	}
}

// flats are lists without pointers: copied as they lie, and those that begin at one
// place once.
func flats(t reflect.Type) coder {
	c, size := lists(t), t.Elem().Size()
	return coder{
		func(w *writer, p unsafe.Pointer) {
			h := (*header)(p)
			if w.plain {
				c.write(w, p)
				return
			}
			if h.data == nil {
				w.uint(0)
				return
			}
			w.uint(uint64(h.len + 1))
			if h.len == 0 {
				return
			}
			if have, known := w.flats[h.data]; known && have.len >= h.len*int(size) {
				w.uint(have.id)
				return
			}
			w.lists++
			w.flats[h.data] = flat{w.lists, h.len * int(size)}
			w.uint(0)
			w.out = append(w.out, unsafe.Slice((*byte)(h.data), h.len*int(size))...)
		},
		func(r *reader, p unsafe.Pointer) {
			n := int(r.uint()) - 1
			switch {
			case n < 0:
				return
			case n == 0:
				*(*header)(p) = header{reflect.MakeSlice(t, 0, 0).UnsafePointer(), 0, 0}
				return
			}
			data := unsafe.Pointer(nil)
			if id := r.uint(); id > 0 {
				if data = r.flats[id-1]; r.lens[id-1] < n*int(size) {
					fail("a list is longer than it was")
				}
			} else {
				from := r.take(n * int(size))
				data = reflect.MakeSlice(t, n, n).UnsafePointer()
				copy(unsafe.Slice((*byte)(data), len(from)), from)
				r.flats, r.lens = append(r.flats, data), append(r.lens, len(from))
			}
			*(*header)(p) = header{data, n, n} // nobody appends to what another one holds
		},
	}
}

// maps are written in the order of their keys.
func maps(t reflect.Type) coder {
	key, value := coderFor(t.Key()), coderFor(t.Elem())
	return coder{
		func(w *writer, p unsafe.Pointer) {
			m := reflect.NewAt(t, p).Elem()
			if m.IsNil() {
				w.uint(0)
				return
			}
			w.uint(uint64(m.Len() + 1))
			type pair struct {
				order    []byte
				key, val reflect.Value
			}
			all := make([]pair, 0, m.Len())
			for it := m.MapRange(); it.Next(); {
				k, v := reflect.New(t.Key()), reflect.New(t.Elem())
				k.Elem().Set(it.Key())
				v.Elem().Set(it.Value())
				x := &writer{texts: map[string]uint64{}}
				key.write(x, k.UnsafePointer())
				all = append(all, pair{x.out, k, v})
			}
			slices.SortFunc(all, func(a, b pair) int { return bytes.Compare(a.order, b.order) })
			for _, x := range all {
				key.write(w, x.key.UnsafePointer())
				value.write(w, x.val.UnsafePointer())
			}
		},
		func(r *reader, p unsafe.Pointer) {
			n := r.count(0) - 1
			if n < 0 {
				return
			}
			m := reflect.MakeMapWithSize(t, n)
			reflect.NewAt(t, p).Elem().Set(m)
			for range n {
				k, v := reflect.New(t.Key()), reflect.New(t.Elem())
				key.read(r, k.UnsafePointer())
				value.read(r, v.UnsafePointer())
				m.SetMapIndex(k.Elem(), v.Elem())
			}
		},
	}
}

// faces keep the name of what stands behind an interface.
func faces(t reflect.Type) coder {
	return coder{
		func(w *writer, p unsafe.Pointer) {
			v := reflect.NewAt(t, p).Elem()
			if v.IsNil() {
				w.uint(0)
				return
			}
			x := v.Elem()
			name := w.kinds.Name(x.Interface())
			if name == "" || x.Kind() != reflect.Pointer {
				fail("%s behind a %s has no name", x.Type(), t)
			}
			w.uint(1)
			w.text(name)
			to := x.UnsafePointer()
			coderOf(x.Type()).write(w, unsafe.Pointer(&to))
		},
		func(r *reader, p unsafe.Pointer) {
			if r.uint() == 0 {
				return
			}
			name := r.text()
			x, ok := r.kinds.New(name)
			if !ok {
				fail("nothing is called %q", name)
			}
			v := reflect.New(reflect.TypeOf(x))
			coderOf(v.Type().Elem()).read(r, v.UnsafePointer())
			reflect.NewAt(t, p).Elem().Set(v.Elem())
		},
	}
}

// funcs are left out where whoever reads puts them back.
func funcs(t reflect.Type) coder {
	return coder{
		func(w *writer, p unsafe.Pointer) {
			if *(*unsafe.Pointer)(p) != nil && !w.kinds.Func(t) {
				fail("a %s cannot be kept", t)
			}
		},
		func(*reader, unsafe.Pointer) {},
	}
}
