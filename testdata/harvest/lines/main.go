// Command lines prints the lines of a harvest that was made up, for mustwatch enter:
//
//	go run ./testdata/harvest/lines -days 10 > harvest.jsonl
//	go run ./cmd/mustwatch enter --journal harvest.db harvest.jsonl
package main

import (
	"flag"
	"fmt"

	"cellar.example/mustwatch/testdata/harvest"
)

func main() {
	p := harvest.Plan{}
	flag.IntVar(&p.Days, "days", 10, "days of the harvest")
	flag.IntVar(&p.Tanks, "tanks", 60, "tanks of the cellar")
	flag.IntVar(&p.Presses, "presses", 2, "presses of the cellar")
	flag.Int64Var(&p.Seed, "seed", 0, "another harvest for another number")
	flag.BoolVar(&p.Finish, "finish", false, "play what was begun to its end")
	flag.Parse()
	for _, l := range p.Make().Lines {
		fmt.Println(l)
	}
}
