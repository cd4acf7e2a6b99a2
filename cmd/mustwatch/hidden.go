package main

import (
	"bytes"
	"encoding/json"
)

// hiddenIn finds the first text in a JSON object that holds a character nobody
// can see, and names the field it stands in. Such characters come with text
// copied from elsewhere; on a terminal they move the cursor or worse.
func hiddenIn(object []byte) (field string, r rune, found bool) {
	dec := json.NewDecoder(bytes.NewReader(object))
	var inside []json.Delim
	key := true
	for {
		token, err := dec.Token()
		if err != nil {
			return "", 0, false
		}
		switch x := token.(type) {
		case json.Delim:
			if x == '{' || x == '[' {
				inside = append(inside, x)
			} else {
				inside = inside[:len(inside)-1]
			}
			key = true
			continue
		case string:
			if named := key && len(inside) > 0 && inside[len(inside)-1] == '{'; named {
				field, key = x, false
				continue
			}
			for _, c := range x {
				if unseen(c) {
					return field, c, true
				}
			}
		}
		key = true
	}
}
