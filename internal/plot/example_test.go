package plot_test

import (
	"fmt"
	"os"
	"time"

	"filmfault/internal/plot"
)

// A chart of one panel with a limit and a mark, in 48 columns of ASCII.
func ExampleText() {
	const hour = 3600
	chart := plot.Chart{
		Start: time.Date(2026, time.June, 12, 8, 0, 0, 0, time.UTC),
		To:    8 * hour,
		Panels: []plot.Panel{{
			Title: "Film", Unit: "F", FromZero: true,
			Lines:  []plot.Line{{Name: "surface", Points: []plot.Point{{At: 0, Value: 40}, {At: 8 * hour, Value: 80}}}},
			Limits: []plot.Limit{{Name: "at least", Low: 50, High: 50}},
		}},
		Marks: []plot.Mark{{At: 2 * hour, Text: "coat"}},
	}
	if err := plot.Text(os.Stdout, chart, plot.TextOptions{Width: 48, Height: 5}); err != nil {
		fmt.Println(err)
	}
	// Output:
	//                  1
	// Film (F)   ** surface   -- at least 50 F
	// 100 F +          :
	//       |                       ******************
	//  50 F +***********************------------------
	//       |
	//   0 F +          :
	//       ++---------+---------+---------+---------+
	//      8:00      10:00     12:00     14:00   16:00
	//   Fri 12 Jun
	//
	// 1  Fri 10:00  coat
}
