package review

// Schema is the version of the document. A name that is taken away or changes
// its meaning gets a new number; names may be added.
const Schema = 1

// Document is a review as plain data: what package page lays out. Its JSON names
// stay. Shares, rates a hundred and probabilities are numbers with four digits
// after the point at most; days are "2026-04-17", months "2026-04". What is not
// known is null. Lists are never null.
type Document struct {
	Schema   int       `json:"schema"`
	Books    []string  `json:"books"` // folders, those that win last
	Rules    Rules     `json:"rules"`
	Filter   Filtered  `json:"filter"`
	Totals   Totals    `json:"totals"`
	Causes   Table     `json:"causes"`   // over settled cases
	Verdicts []Verdict `json:"verdicts"` // by cause
	Tables   []Table   `json:"tables"`   // over all cases, by failure and by trait
	Months   []InMonth `json:"months"`   // by the day of the case, none between left out
	Years    []InYear  `json:"years"`    // the same by year
	Rates    Rates     `json:"rates"`    // failures for a hundred jobs
	Repeats  []Repeat  `json:"repeats"`  // causes confirmed again within RepeatDays
	AtRisk   []AtRisk  `json:"at_risk"`  // other jobs that share something with a confirmed cause
	Changes  []Change  `json:"changes"`  // what would have avoided how much, best first
	Rankings Scores    `json:"rankings"` // how well they did
	Unread   []Unread  `json:"unread"`   // amounts and days that were left out
	LeftOut  []LeftOut `json:"left_out"` // case files that could not be read
	Notes    []string  `json:"notes"`    // what a reader should know of the above
}

// Rules names the rules in force.
type Rules struct {
	Digest string   `json:"digest"`
	Layers []string `json:"layers"`
}

// Filtered is what the review was held to; empty strings hold to nothing.
type Filtered struct {
	From    string   `json:"from"`
	To      string   `json:"to"`
	Failure string   `json:"failure"`
	Cause   string   `json:"cause"`
	Where   []string `json:"where"` // FACT=ANSWER
	State   string   `json:"state"` // settled, open or ""
}

// Any reports whether the review was held to something.
func (f Filtered) Any() bool {
	return f.From != "" || f.To != "" || f.Failure != "" || f.Cause != "" || f.State != "" || len(f.Where) > 0
}

// Totals are the cases in short.
type Totals struct {
	Cases    int `json:"cases"`
	Settled  int `json:"settled"`
	Open     int `json:"open"`
	Invented int `json:"invented"` // demonstrations among them
	// InventedOut are demonstrations left out: the book has cases that are none.
	InventedOut int      `json:"invented_left_out"`
	NoFault     int      `json:"no_fault"`
	Unlisted    int      `json:"unlisted"`
	Undecided   int      `json:"undecided"` // settled, but no cause confirmed
	Measured    Share    `json:"measured"`  // settled by a measurement, of those settled
	Days        Days     `json:"days"`      // from finish to failure
	Costs       []Amount `json:"costs"`
	Costed      int      `json:"costed"` // cases with a cost that could be read
	// Unfinished have no day of finishing, Undated no day at all.
	Unfinished int `json:"unfinished"`
	Undated    int `json:"undated"`
}

// Share is so many of so many, with Wilson's 90 % interval; share, low and high
// are null of none.
type Share struct {
	Cases int     `json:"cases"`
	Of    int     `json:"of"`
	Share *Number `json:"share"`
	Low   *Number `json:"low"`
	High  *Number `json:"high"`
}

// Days from finish to failure, over the cases that have both.
type Days struct {
	Cases  int     `json:"cases"`
	Median *Number `json:"median"`
	Low    *Number `json:"low"`
	High   *Number `json:"high"`
}

// Table counts cases by one thing. Its rows are in the order of their cost, or of
// their number where nothing was costed; what stands for no answer comes last.
type Table struct {
	By   string `json:"by"` // cause, failure, season, primer-lot, ...
	Of   int    `json:"of"` // cases counted
	Rows []Row  `json:"rows"`
}

// Row is one line of a table. CostShare is of the currency with most cost lines,
// null when there is none. The shares of a table add up to 1.
type Row struct {
	ID        string   `json:"id"`
	Title     string   `json:"title"`
	Cases     int      `json:"cases"` // that have it, be it with others
	Share     Number   `json:"share"` // those with others in parts
	SoFar     Number   `json:"so_far"`
	Costs     []Amount `json:"costs"`
	CostShare *Number  `json:"cost_share"`
	CostSoFar *Number  `json:"cost_so_far"`
}

// Rows that are no cause and no answer.
const (
	NoFault   = "no-fault"
	Unlisted  = "unlisted"
	Undecided = "undecided"
)

// Verdict counts what verdicts say of a cause.
type Verdict struct {
	Cause       string `json:"cause"`
	Title       string `json:"title"`
	Tree        string `json:"tree"`
	Confirmed   int    `json:"confirmed"`
	RuledOut    int    `json:"ruled_out"`
	NotExamined int    `json:"not_examined"`
}

// InMonth is the cases that belong to a month by their day: that of finishing,
// or the first that is known after it.
type InMonth struct {
	Month string   `json:"month"`
	Cases int      `json:"cases"`
	Costs []Amount `json:"costs"`
}

// InYear is InMonth for a year.
type InYear struct {
	Year  int      `json:"year"`
	Cases int      `json:"cases"`
	Costs []Amount `json:"costs"`
}

// Rates is failures for a hundred jobs. Without jobs done it says why there is
// none.
type Rates struct {
	Given   bool     `json:"given"`
	Says    string   `json:"says"` // how to read them, or what their lack means
	Method  string   `json:"method"`
	Of      string   `json:"of"` // which jobs: "all jobs", or "jobs with tool spray"
	All     *Rate    `json:"all"`
	Trend   []Rate   `json:"trend"` // the latest twelve months of the calendar and the twelve before, if none is missing
	Months  []Rate   `json:"months"`
	Seasons []Rate   `json:"seasons"`
	Splits  []Split  `json:"splits"`  // by the facts by which the jobs are split
	Outside int      `json:"outside"` // failures with no day, or in a month without jobs
	Notes   []string `json:"notes"`
}

// Split is rates by the answers to one fact.
type Split struct {
	By   string `json:"by"`
	Rows []Rate `json:"rows"`
}

// Rate is cases for a hundred jobs, with an interval; null where there were no
// jobs, or fewer than cases.
type Rate struct {
	Of         string  `json:"of"` // month, season or answer
	Jobs       int     `json:"jobs"`
	Cases      int     `json:"cases"`
	PerHundred *Number `json:"per_hundred"`
	Low        *Number `json:"low"`
	High       *Number `json:"high"`
}

// Repeat is a cause that was confirmed again and again, each time within
// RepeatDays of the time before. Only a job done after the first was settled, and
// the work changed, tells of the change; others were painted the old way.
type Repeat struct {
	Cause string     `json:"cause"`
	Title string     `json:"title"`
	Times []Repeated `json:"times"`
}

// Repeated is one time that a cause was confirmed. After is the days since the
// time before, null for the first; Changed is what the shop changed then.
// AfterChange says whether the job was finished on the day that the first was
// settled or later; null for the first and where the day is not known.
type Repeated struct {
	Case        string  `json:"case"`
	Settled     string  `json:"settled"`
	After       *Number `json:"after"`
	Changed     string  `json:"changed"`
	Finished    string  `json:"finished"`
	AfterChange *bool   `json:"after_change"`
}

// AtRisk is jobs that share a lot, or the week of finishing, with cases in which
// a cause was confirmed. Those of a lot come before those of a week, which is a
// weaker tie.
type AtRisk struct {
	Shares string      `json:"shares"` // primer-lot, paint-lot, board-lot, week
	Value  string      `json:"value"`
	Open   []string    `json:"open"` // cases not settled yet
	Causes []Spreading `json:"causes"`
}

// Spreading is a cause confirmed in a lot or a week. Others are the cases of the
// lot that were settled otherwise without ruling it out; none are told of a week.
type Spreading struct {
	Cause     string   `json:"cause"`
	Title     string   `json:"title"`
	Confirmed []string `json:"confirmed"`
	Others    []string `json:"others"`
}

// Change is a practice and what it would have avoided at most: the cases in which
// a cause it prevents was the only one confirmed, those in which it had company,
// and what they cost (its even part of those with company).
type Change struct {
	Causes  []Named  `json:"causes"`
	Prevent string   `json:"prevent"`
	Alone   int      `json:"alone"`
	Among   int      `json:"among"`
	Costs   []Amount `json:"costs"`
}

// Named is an id with its title.
type Named struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// Scores says how good the rankings were, as they stood.
type Scores struct {
	Cases      int     `json:"cases"` // settled with a ranking
	First      Share   `json:"first"` // a confirmed cause stood first; none of the listed ones was a miss
	FirstThree Share   `json:"first_three"`
	MeanRank   *Number `json:"mean_rank"` // of the best placed confirmed cause
	AtLeast    bool    `json:"at_least"`  // some stood below the places kept
	Unlisted   int     `json:"unlisted"`  // of those that missed: it was something the rules do not list
	NotKept    int     `json:"not_kept"`  // confirmed causes below the places kept
	Untold     int     `json:"untold"`    // causes ruled out below the places kept: no forecast is known of them
	Forecasts  int     `json:"forecasts"`
	CameTrue   int     `json:"came_true"`
	Brier      *Number `json:"brier"`
	BrierBase  *Number `json:"brier_base"` // of saying the share that came true each time
	Tenths     []Tenth `json:"tenths"`
}

// Tenth is the forecasts in one tenth of the scale. Low and High bound what the
// share that came true would be in nine of ten books if the forecasts were right.
type Tenth struct {
	From     Number  `json:"from"`
	To       Number  `json:"to"`
	Count    int     `json:"count"`
	Forecast *Number `json:"forecast"` // mean
	CameTrue *Number `json:"came_true"`
	Low      *Number `json:"low"`
	High     *Number `json:"high"`
	Outside  bool    `json:"outside"`
}
