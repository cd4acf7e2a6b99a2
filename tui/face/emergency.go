package face

import "cellar.example/mustwatch/domain/cellar"

// EndWords say what the key opens that takes an emergency off the top.
func EndWords(e cellar.Emergency) string {
	if e.Kind == cellar.EmergencyInside {
		return "save that they are out, or who watches"
	}
	return "end the emergency, in your name"
}
