package paper

import "cellar.example/mustwatch/domain/sheet"

// Grid tells where on a sheet the codes, the persons and the texts stand.
func Grid(s *sheet.Sheet) (code, person, text int) {
	g := newGrid(s)
	return g.code(), g.person(), g.text()
}
