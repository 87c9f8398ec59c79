package cli

import (
	"context"
	"math"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
)

// Places of the ranking that are kept: so many, and on to the last cause that the
// verdict is about, since how improbable a cause was that proved wrong is half of
// how good the ranking was.
const (
	placesKept     = 8
	mostPlacesKept = 30
)

// rank keeps the ranking as it stands, unless one was kept before.
func (s *settling) rank(ctx context.Context, c opened) error {
	b := s.rules.Base
	sheet, diags := diagnosis.Resolve(b, c.c)
	s.sheet, s.kept = sheet, len(s.v.Ranking) > 0
	if s.kept {
		_, err := s.o.app.resolve(b, c)
		return err
	}
	if s.v.NoFault && !diags.HasErrors() && len(sheet.Seen(b)) == 0 {
		s.warnings = append(s.warnings, "No failure is marked seen in the case, so there is no ranking to keep.")
		return nil
	}
	e, err := s.o.app.evaluateCase(ctx, s.rules, c)
	if err != nil {
		return err
	}
	for _, x := range s.places(e.Ranking()) {
		s.v.Ranking = append(s.v.Ranking, casefile.Standing{Cause: x.Cause.ID, Contributed: math.Round(x.Contributed*1e4) / 1e4})
	}
	s.v.Rules = b.Digest
	return nil
}

// places are those that are kept.
func (s *settling) places(all []diagnosis.Ranked) []diagnosis.Ranked {
	n := placesKept
	for i, x := range all {
		if slices.ContainsFunc(s.v.Causes, func(c casefile.Finding) bool { return c.Cause == x.Cause.ID && c.State != casefile.NotExamined }) {
			n = max(n, i+1)
		}
	}
	return all[:min(n, mostPlacesKept, len(all))]
}
