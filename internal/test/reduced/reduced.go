// Package reduced lets an accuracy test hand its rows to make sensitivity, which
// runs it hundreds of times over a part of what make accuracy measures.
package reduced

import (
	"fmt"
	"os"
	"strconv"
)

// Variable is the environment variable that asks for rows; its value is how many
// times less should be measured, 1 for all of it.
const Variable = "UNDERSONG_REDUCED"

// By is how many times less a test should measure; 1 where nobody asks for rows.
func By() int {
	n, err := strconv.Atoi(os.Getenv(Variable))
	if err != nil || n < 1 {
		return 1
	}
	return n
}

// Mark begins each line of a row.
const Mark = "row\t"

// Row tells how much of what was measured was right, where somebody asks for
// rows. Both are counts or durations, from 0; right is at most of.
func Row(name string, right, of float64) {
	if os.Getenv(Variable) != "" {
		fmt.Printf("%s%s\t%g\t%g\n", Mark, name, right, of)
	}
}
