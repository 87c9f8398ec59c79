package replay

import (
	"context"
	"fmt"
	"io"
	"os"
	"testing"
	"time"

	"filmfault/internal/casefile"
	"filmfault/internal/joblog"
	"filmfault/internal/shop"
	"filmfault/internal/uncertain"
)

func TestExplore(t *testing.T) {
	data, _ := os.ReadFile("/tmp/cold.yaml")
	c, diags, err := casefile.Parse("cold.yaml", data)
	if err != nil || diags.HasErrors() {
		t.Fatal(err, diags)
	}
	log, diags := joblog.Read(c, shop.Ordinary(), func(string) (io.ReadCloser, error) { return nil, os.ErrNotExist })
	for _, d := range diags {
		fmt.Println(d)
	}
	fmt.Println(log.Notes)
	j := New(log, shop.Standard{DryBeforeClosing: 5 * 3600, FreshFan: 3600, WetFilm: 12 * 25.4e-6, Thinning: .03, Temperature: 291.5, Humidity: .6, Fan: 1.5})
	d := uncertain.NewDraws(256, 1)
	limit := uncertain.Input{ID: "l", Low: .01, High: .03}
	for _, u := range []Undo{nil, Undoing(Time), Undoing(Air), Undoing(Fan), Undoing(Fan, Air), Undoing(Film), Undoing(FreshFan), Undoing(Thinning)} {
		start := time.Now()
		o, err := j.Run(context.Background(), d, u)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println(u, time.Since(start))
		for i, c := range o.Checks {
			fmt.Printf("  %s %s %s %.1fh  %.3v  p=%.2f\n", c.Kind, c.Face, c.Layer, c.Time/3600, uncertain.Summarise(o.Excess[i]), o.Chance(i, limit))
		}
	}
}
