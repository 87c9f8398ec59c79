package export

import (
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
)

// TestTotal: sums by hand.
func TestTotal(t *testing.T) {
	for _, c := range []struct {
		amounts       []string
		sum, currency string
	}{
		{[]string{"180", "$420"}, "600", "$"},
		{[]string{"$180", "420"}, "600", "$"},
		{[]string{"180", "420.50"}, "600.5", ""},
		{[]string{"$180", "€420"}, "", ""},
		{[]string{"180", "much"}, "", ""},
		{nil, "", ""},
	} {
		var costs []casefile.Cost
		for _, a := range c.amounts {
			costs = append(costs, casefile.Cost{What: "work", Amount: a})
		}
		sum, currency := total(costs)
		require.Equal(t, c.sum, sum, c.amounts)
		require.Equal(t, c.currency, currency, c.amounts)
	}
}
