package diagnosis

import (
	"cmp"
	"slices"

	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// A question's worth counts the causes that contribute more than leastTarget,
// at most mostTargets of them; where the whole ranking is flat, those above half
// the leader. Whether it changes the leader is judged exactly among mostLeaders
// causes, and by drawn cases among all that an answer could lift so far.
const (
	leastTarget = 0.05
	mostTargets = 8
	mostLeaders = 14
)

// Question is an open finding with what its answer would tell.
type Question struct {
	Finding       rulebase.Finding
	Worth         float64   // bits about the leading causes, summed over them
	PerMinute     float64   // Worth over the minutes it takes
	ChangesLeader float64   // probability that the answer puts another cause first
	Answer        []float64 // probability of each answer

	with [][]float64 // per target and answer
}

// Prices holds the priced open questions of one evaluation.
type Prices struct {
	Targets   []string // the causes priced for, leader first
	Questions []Question

	pricer  *inference.Pricer
	e       *Evaluation
	counted int
	open    []rulebase.Finding // all that could be asked, the screened ones too
}

// Price prices the open findings that the filter keeps (nil keeps all), the
// most telling per minute first. Findings that tell nothing are left out.
func (e *Evaluation) Price(keep func(rulebase.Finding) bool) (*Prices, error) {
	causes, counted := e.leaders()
	return e.price(aim{causes, counted}, keep, e.screen)
}

// aim is the causes a question is priced for, the first counted of which make
// up its worth.
type aim struct {
	causes  []string
	counted int
}

// leaders lists the causes that could come first, and how many of them are
// worth telling apart.
func (e *Evaluation) leaders() (causes []string, counted int) {
	ranking := e.Ranking()
	least := min(leastTarget, ranking[0].Contributed/2)
	for i, r := range ranking[:min(mostLeaders, len(ranking))] {
		if i == 0 || i < mostTargets && r.Contributed > least {
			counted = i + 1
		}
		causes = append(causes, r.Cause.ID)
	}
	return causes, counted
}

type screening func(open []rulebase.Finding, a aim) ([]rulebase.Finding, error)

func (e *Evaluation) price(at aim, keep func(rulebase.Finding) bool, screen screening) (*Prices, error) {
	targets := make([]inference.Target, len(at.causes))
	for i, c := range at.causes {
		targets[i] = inference.Target{Node: e.net.node[c]}
	}
	pricer, err := e.compiled.NewPricer(e.evidence, targets)
	if err != nil {
		return nil, err
	}
	p := &Prices{Targets: at.causes, pricer: pricer, e: e, counted: at.counted}
	var open []rulebase.Finding
	for _, f := range e.Rules.Base.Findings {
		if e.isOpen(f.ID) && (keep == nil || keep(f)) {
			open = append(open, f)
		}
	}
	p.open = open
	if open, err = screen(open, at); err != nil {
		return nil, err
	}
	p.Questions = slices.DeleteFunc(p.exactly(open), func(q Question) bool { return q.Worth < tellsNothing })
	if err := e.compiled.Err(); err != nil {
		return nil, err
	}
	slices.SortStableFunc(p.Questions, func(a, b Question) int {
		if c := descending(a.PerMinute, b.PerMinute); c != 0 {
			return c
		}
		return cmp.Compare(a.Finding.ID, b.Finding.ID)
	})
	return p, nil
}

func (e *Evaluation) isOpen(id string) bool {
	_, inNet := e.net.finding[id]
	return inNet && !slices.ContainsFunc(e.players, func(p player) bool { return p.id == id })
}

// exactly prices findings.
func (p *Prices) exactly(open []rulebase.Finding) []Question {
	numbers := make([]int, len(open))
	for i, f := range open {
		numbers[i] = p.e.net.finding[f.ID]
	}
	out := make([]Question, len(open))
	for i, t := range p.pricer.Tables(numbers) {
		out[i] = question(open[i], t, p.counted)
	}
	return out
}

// Exactly prices the open findings named, idle ones and those screened out
// included; a finding that is not open is left out.
func (p *Prices) Exactly(ids []string) ([]Question, error) {
	var open []rulebase.Finding
	for _, f := range p.e.Rules.Base.Findings {
		if slices.Contains(ids, f.ID) && p.e.isOpen(f.ID) {
			open = append(open, f)
		}
	}
	out := p.exactly(open)
	return out, p.e.compiled.Err()
}

// tellsNothing is the worth below which a question is idle.
const tellsNothing = 1e-6

// question reads a table: what the answer tells of each target, the leader
// being the first.
func question(f rulebase.Finding, t inference.Table, counted int) Question {
	q := Question{Finding: f, Answer: t.Answer, with: t.With}
	for i := range counted {
		q.Worth += t.About(i)
	}
	q.PerMinute = q.Worth / f.Minutes
	for a := range t.Answer {
		if leaderOf(column(t.With, a)) != 0 {
			q.ChangesLeader = min(1, q.ChangesLeader+t.Answer[a])
		}
	}
	return q
}

func column(with [][]float64, a int) []float64 {
	out := make([]float64, len(with))
	for i := range with {
		out[i] = with[i][a]
	}
	return out
}

// leaderOf is the target with the largest probability; the first of equals,
// and the present leader stands first.
func leaderOf(p []float64) int {
	best := 0
	for i := range p {
		if descending(p[i], p[best]) < 0 {
			best = i
		}
	}
	return best
}

// pairsAmong is how many of the best questions are tried in pairs.
const pairsAmong = 10

// negligible is the probability of changing the leader below which a question,
// or a pair, is not worth anybody's time.
const negligible = 0.05

// Stop says whether to go on asking.
type Stop struct {
	Stop   bool
	Reason string // in words, for the person
}

// enough and rivalMost are the certainty at which the leader stands alone.
const (
	enough    = 0.8
	rivalMost = 0.2
)

// Stop applies the rule: enough is known when the leader has contributed with
// at least .8 and no rival outside its story with more than .2; or when no
// single open question and no pair of the ten best changes the leader with a
// probability above .05.
func (p *Prices) Stop() (Stop, error) {
	if done, err := p.e.settled(); err != nil || done {
		return Stop{done, "One cause stands out and no rival comes near it."}, err
	}
	for _, q := range p.Questions {
		if q.ChangesLeader > negligible {
			return Stop{}, nil
		}
	}
	best := p.Questions[:min(pairsAmong, len(p.Questions))]
	for i, a := range best {
		for _, b := range best[i+1:] {
			if p.pairChanges(a, b) > negligible {
				return Stop{}, nil
			}
		}
	}
	if err := p.e.compiled.Err(); err != nil {
		return Stop{}, err
	}
	if moves, err := p.e.anyMoves(p.open); err != nil || moves {
		return Stop{}, err
	}
	return Stop{true, "No open question is likely to change which cause comes first."}, nil
}

func (p *Prices) pairChanges(a, b Question) float64 {
	t := p.pricer.Pair(p.e.net.finding[a.Finding.ID], p.e.net.finding[b.Finding.ID])
	sum := 0.0
	for i := range t.Prob {
		for j := range t.Prob[i] {
			both := make([]float64, len(t.With))
			for k := range both {
				both[k] = t.With[k][i][j]
			}
			if leaderOf(both) != 0 {
				sum += t.Prob[i][j]
			}
		}
	}
	return sum
}

// settled reports whether the leader stands alone.
func (e *Evaluation) settled() (bool, error) {
	ranking := e.Ranking()
	if ranking[0].Contributed < enough {
		return false, nil
	}
	stories, err := e.Stories()
	if err != nil {
		return false, err
	}
	partners := partnersOf(ranking[0].Cause.ID, stories)
	for _, r := range ranking[1:] {
		if r.Contributed > rivalMost && !slices.Contains(partners, r.Cause.ID) {
			return false, nil
		}
	}
	for _, u := range e.Unlisted() {
		if u.Contributed > rivalMost && !slices.Contains(unlistedPartners(ranking[0].Cause.ID, stories), u.Gate) {
			return false, nil
		}
	}
	return true, nil
}

// partnersOf lists the causes in the likeliest story with the leader in it.
func partnersOf(leader string, stories []Story) []string {
	for _, s := range stories {
		if slices.Contains(s.Causes, leader) {
			return s.Causes
		}
	}
	return nil
}

// unlistedPartners lists the gates whose unlisted cause stands in the likeliest
// story with the leader.
func unlistedPartners(leader string, stories []Story) []string {
	for _, s := range stories {
		if slices.Contains(s.Causes, leader) {
			return s.Unlisted
		}
	}
	return nil
}

// Side is the state of the leading causes if a measurement falls on one side.
type Side struct {
	Probability float64  // of this outcome
	Ranking     []Chance // of the priced causes, likeliest first
}

// Chance is a cause with a probability.
type Chance struct {
	Cause       string
	Contributed float64
}

// Side is what the ranking becomes if the answer is among those given.
func (p *Prices) Side(q Question, answers []int) Side {
	var s Side
	for _, a := range answers {
		s.Probability += q.Answer[a]
	}
	for i, c := range p.Targets {
		both := 0.0
		for _, a := range answers {
			both += q.with[i][a]
		}
		chance := Chance{Cause: c}
		if s.Probability > 0 {
			chance.Contributed = both / s.Probability
		}
		s.Ranking = append(s.Ranking, chance)
	}
	slices.SortStableFunc(s.Ranking, func(a, b Chance) int { return descending(a.Contributed, b.Contributed) })
	return s
}

// Find is the priced question on a finding.
func (p *Prices) Find(id string) (Question, bool) {
	for _, q := range p.Questions {
		if q.Finding.ID == id {
			return q, true
		}
	}
	return Question{}, false
}
