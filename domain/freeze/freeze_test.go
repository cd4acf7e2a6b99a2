package freeze_test

import (
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/freeze"
)

type named interface{ name() string }

type leaf struct {
	X float64
	y int8
}

func (*leaf) name() string { return "leaf" }

type node struct {
	text  string
	next  *node
	both  [2]*leaf
	flat  []leaf
	list  []string
	by    map[string]*node
	at    time.Time
	face  named
	do    func() int
	bytes []byte
	some  map[struct {
		b bool
		s string
	}]int
}

func kinds(funcs bool) freeze.Kinds {
	return freeze.Kinds{
		Name: func(v any) string {
			if n, ok := v.(named); ok {
				return n.name()
			}
			return ""
		},
		New:  func(name string) (any, bool) { return &leaf{}, name == "leaf" },
		Func: func(reflect.Type) bool { return funcs },
	}
}

func graph() *node {
	l := &leaf{1.5, -3}
	zone := time.FixedZone("", 2*3600)
	a := &node{text: "a", both: [2]*leaf{l, l}, flat: []leaf{{1, 2}, {3, 4}, {5, 6}}, list: []string{},
		at: time.Date(2026, 9, 24, 22, 0, 0, 7, zone), face: l}
	b := &node{text: "b", next: a, flat: a.flat[:2], by: map[string]*node{"a": a, "": nil}, at: time.Time{}}
	b.some = map[struct {
		b bool
		s string
	}]int{{true, "x"}: -1, {false, "y"}: 1 << 40}
	a.next = b // round in a circle
	return a
}

// What was frozen is the same again: what points to one thing still does, lists that share
// their beginning do, and nil is not empty.
func TestTheSameAgain(t *testing.T) {
	k, a, got := kinds(false), graph(), &node{}
	data, err := k.Bytes(a)
	require.NoError(t, err)
	require.NoError(t, k.Into(data, got))
	require.Equal(t, a.text, got.text)
	require.Equal(t, a.flat, got.flat)
	require.True(t, a.at.Equal(got.at))
	require.Equal(t, "2026-09-24 22:00:00.000000007 +0200", got.at.Format("2006-01-02 15:04:05.999999999 -0700"))
	require.Same(t, got.both[0], got.both[1])
	require.Same(t, got.both[0], got.face)
	require.NotNil(t, got.list)
	require.Nil(t, got.bytes)
	b := got.next
	require.Same(t, &got.flat[0], &b.flat[0], "kept once")
	require.Equal(t, 2, cap(b.flat), "who appends to it writes into nobody else's")
	require.Equal(t, a.next.some, b.some)
	require.Same(t, b.by["a"], b.next)
	require.True(t, b.at == time.Time{})
	x, err := k.Plain(a)
	require.NoError(t, err)
	again := graph()
	y, err := k.Plain(again)
	require.NoError(t, err)
	require.Equal(t, x, y)
	again.next.flat = append(again.next.flat, leaf{3, 4})
	again.both[1].y++
	y, err = k.Plain(again)
	require.NoError(t, err)
	require.NotEqual(t, x, y)
}

// What cannot be kept is refused, and not left out.
func TestRefused(t *testing.T) {
	n := &node{do: func() int { return 1 }}
	_, err := kinds(false).Bytes(n)
	require.ErrorContains(t, err, "func() int")
	_, err = kinds(true).Bytes(n)
	require.NoError(t, err)
	_, err = kinds(true).Bytes(&struct{ c chan int }{})
	require.ErrorContains(t, err, "chan int")
	_, err = kinds(true).Bytes(&struct{ any any }{4})
	require.ErrorContains(t, err, "has no name")
}

// Broken bytes are an error or another value, and never the end of the program.
func TestBrokenBytes(t *testing.T) {
	data, err := kinds(false).Bytes(graph())
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		broken := append([]byte(nil), data[:rapid.IntRange(0, len(data)).Draw(t, "cut")]...)
		for range rapid.IntRange(0, 3).Draw(t, "bytes") {
			if len(broken) > 0 {
				broken[rapid.IntRange(0, len(broken)-1).Draw(t, "at")] = rapid.Byte().Draw(t, "byte")
			}
		}
		_ = kinds(false).Into(broken, &node{})
	})
}
