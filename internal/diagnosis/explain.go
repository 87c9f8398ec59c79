package diagnosis

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// Weight is how far one answer pulled a cause, in natural log odds; the pulls
// of all answers sum to the step from prior to posterior.
type Weight struct {
	Finding, Answer, Shown string
	Failure                bool // the state of a failure, not a finding
	LogOdds, Error         float64
}

// Computation is the answer of a weight that is a calculation's.
const Computation = "computed"

// Factor is the pull as a factor on the odds: 3.2 means "3.2 times likelier".
func (w Weight) Factor() float64 { return math.Exp(w.LogOdds) }

// Account is a cause's way from prior to posterior. The prior is its share
// among jobs with these facts and with the failures seen; what was looked for
// and is absent, and every finding, then pulls.
type Account struct {
	Cause            string
	Prior, Posterior float64
	Weights          []Weight // the strongest first
}

// Accounts explains the causes named. One whose probability is exactly 0 or 1
// with or without some answers has no weights.
func (e *Evaluation) Accounts(causes []string) ([]Account, error) {
	var players []int
	for i, p := range e.players {
		if !p.seen {
			players = append(players, i)
		}
	}
	targets := make([]inference.Target, len(causes))
	for i, c := range causes {
		targets[i] = inference.Target{Node: e.net.node[c]}
	}
	out := make([]Account, len(causes))
	for i, w := range e.compiled.Weigh(e.evidence, players, targets, e.changes()...) {
		e.settleOn(&w, causes[i])
		out[i] = Account{Cause: causes[i], Prior: logistic(w.Prior), Posterior: logistic(w.Posterior)}
		if finite(w) {
			out[i].Weights = e.weights(players, w)
		}
	}
	return out, e.compiled.Err()
}

// changes is the calculations as players: with the log against without it.
func (e *Evaluation) changes() []inference.Change {
	var out []inference.Change
	for _, x := range e.net.entered {
		out = append(out, inference.Change{Events: x.nodes(), With: x.mixed, Without: x.before})
	}
	return out
}

// settleOn makes the pulls end at the probability of the ranking: what the one
// network of the mixture is off by is put to the calculations' account.
func (e *Evaluation) settleOn(w *inference.Weighing, cause string) {
	k := len(e.net.entered)
	if k == 0 {
		return
	}
	p := e.expected(contributedTo(cause))
	exact := math.Log(p) - math.Log1p(-p)
	for i := range w.Pull[len(w.Pull)-k:] {
		w.Pull[len(w.Pull)-k+i] += (exact - w.Posterior) / float64(k)
	}
	w.Posterior = exact
}

func (e *Evaluation) weights(players []int, w inference.Weighing) []Weight {
	out := make([]Weight, len(players)+len(e.net.entered))
	for j, p := range players {
		x := e.players[p]
		out[j] = Weight{x.id, x.answer, x.shown, x.failure, w.Pull[j], w.Error[j]}
	}
	for i, x := range e.net.entered {
		j := len(players) + i
		out[j] = Weight{x.Calculation.ID, Computation, x.Shown, false, w.Pull[j], w.Error[j]}
	}
	slices.SortStableFunc(out, func(a, b Weight) int { return descending(math.Abs(a.LogOdds), math.Abs(b.LogOdds)) })
	return out
}

func finite(w inference.Weighing) bool {
	for _, p := range w.Pull {
		if math.IsNaN(p) || math.IsInf(p, 0) {
			return false
		}
	}
	return !math.IsInf(w.Prior, 0) && !math.IsInf(w.Posterior, 0)
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// Overturn says that the first place goes to another cause if one answer is
// wrong.
type Overturn struct {
	Finding, Answer, Shown string
	Leader                 string
	Contributed            float64 // of the new leader then
}

// Overturning lists the answers that alone hold up the first place: were the
// truth any other answer to that question, another cause would lead. states adds
// the failures looked for and not there, each of which costs an evaluation.
func (e *Evaluation) Overturning(states bool) []Overturn {
	leader := e.Leader().Cause.ID
	var out []Overturn
	for i, p := range e.players {
		if p.seen || p.failure && !states {
			continue
		}
		id, v, ok := e.firstIfWrong(i)
		if ok && id != leader {
			out = append(out, Overturn{p.id, p.answer, p.shown, id, v})
		}
	}
	for _, x := range e.net.entered {
		if id, v, ok := e.firstWithout(x); ok && id != leader {
			out = append(out, Overturn{x.Calculation.ID, Computation, x.Shown, id, v})
		}
	}
	return out
}

// firstWithout is the leading cause if a calculation were left out.
func (e *Evaluation) firstWithout(x entered) (string, float64, bool) {
	if len(e.net.entered) == 1 && e.mixture.plain != nil {
		r := e.mixture.plain.Leader()
		return r.Cause.ID, r.Contributed, true
	}
	net, err := e.compiled.WithRates(inference.Rates{Events: x.nodes(), Rate: x.before})
	if err != nil {
		return "", 0, false
	}
	post, err := net.Evaluate(e.evidence)
	if err != nil {
		return "", 0, false
	}
	id, v := e.first(post)
	return id, v, true
}

// firstIfWrong is the leading cause were the i-th answer wrong; not ok when the
// other answers cannot be, so that this one cannot be wrong alone.
func (e *Evaluation) firstIfWrong(i int) (string, float64, bool) {
	if e.players[i].failure { // then it is there, and its causes are to be explained too
		s := e.Sheet
		s.Failures = maps.Clone(s.Failures)
		s.Failures[e.players[i].id] = rulebase.StateSeen
		then, err := e.Rules.Evaluate(s)
		if err != nil {
			return "", 0, false
		}
		r := then.Leader()
		return r.Cause.ID, r.Contributed, true
	}
	changed := slices.Clone(e.evidence)
	changed[i] = otherwise(e.evidence[i])
	post, err := e.compiled.Evaluate(changed)
	if err != nil {
		return "", 0, false
	}
	id, v := e.first(post)
	return id, v, true
}

// otherwise is "not the answer given": even weights on the others.
func otherwise(w []float64) []float64 {
	out := make([]float64, len(w))
	for i := range out {
		out[i] = 1
	}
	out[largest(w)] = 0
	return out
}

// first is the leading cause of a posterior.
func (e *Evaluation) first(p inference.Posterior) (string, float64) {
	best, at := -1.0, ""
	for _, ev := range e.Rules.Base.Events {
		v := p.Contributed[e.net.node[ev.ID]]
		if ev.Cause && e.leads(ev.ID) && (descending(v, best) < 0 || descending(v, best) == 0 && ev.ID < at) {
			best, at = v, ev.ID
		}
	}
	return at, best
}

// Surprise says how usual the findings are for such failures.
type Surprise struct {
	Surprising bool
	Percentile float64 // share of simulated cases with findings at most as probable
	Cases      int     // simulated, from the seed stated in package inference
}

// simulated is how many cases stand for all: the first percentile then rests
// on the four least probable.
const simulated = 400

// Surprise compares the probability of the findings, given the failures' states,
// with that of simulated cases in which the same questions were answered. Below
// the first percentile the findings are called surprising: the rules may lack
// the true cause, or an answer may be wrong.
func (e *Evaluation) Surprise() (Surprise, error) {
	given := make(inference.Evidence, len(e.evidence))
	for i, p := range e.players {
		if p.failure {
			given[i] = e.evidence[i]
		}
	}
	random := rand.New(rand.NewPCG(inference.Seed, uint64(len(given))))
	worlds, err := e.compiled.Worlds(given, simulated, random)
	if err != nil {
		return Surprise{}, err
	}
	atMost := 0
	for _, w := range worlds {
		if p, ok := e.likelihoodOf(w, random); ok && p <= e.posterior.LogEvidence+1e-9 {
			atMost++
		}
	}
	share := float64(atMost) / simulated
	return Surprise{Surprising: share < 0.01, Percentile: share, Cases: simulated}, nil
}

// likelihoodOf is the log probability of a simulated case's answers, held with
// the same confidence as the real ones: of answers held at .8 every fifth is
// therefore stated wrong.
func (e *Evaluation) likelihoodOf(w inference.World, random *rand.Rand) (float64, bool) {
	answers := make(inference.Evidence, len(e.evidence))
	for i, p := range e.players {
		answers[i] = e.evidence[i]
		if !p.failure {
			answers[i] = moved(e.evidence[i], stated(e.evidence[i], w.Answer[i], random))
		}
	}
	l, err := e.compiled.LogEvidence(answers)
	return l, err == nil
}

// stated is what somebody as sure as the weights say would answer when the truth
// is known.
func stated(w []float64, truth int, random *rand.Rand) int {
	if random.Float64() < w[largest(w)] {
		return truth
	}
	other := random.IntN(len(w) - 1)
	if other >= truth {
		other++
	}
	return other
}

// moved is the same weights with the largest on another answer.
func moved(w []float64, to int) []float64 {
	out := slices.Clone(w)
	at := largest(w)
	out[at], out[to] = out[to], out[at]
	return out
}
