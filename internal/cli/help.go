package cli

import (
	"strings"

	"github.com/spf13/cobra"
)

// topic is a page of help that belongs to no command.
type topic struct{ name, short, text string }

func topics() []topic {
	return []topic{
		{"exit-codes", "What the exit code of a command means", `0    done
1    the check found something (rules check)
2    wrong use: a command, flag, word or id that does not exist
3    it could not be done: a file that cannot be read or written, rules or a
     case with errors in them, answers that cannot all be true
130  interrupted; an interview has saved its answers`},
		{"case-files", "How a case file is written", `A case is one YAML file, written by ` + "`filmfault interview`" + ` or by hand:

schema: 1
case: sign-114
facts:
  colour: dark
failures:
  blistering: seen
  bow: absent
findings:
  blister-content: {answer: water, sure: probably}
  groove-thickness: {value: 18 mil, source: measured}

` + strings.Join([]string{
			"A failure is seen, absent (looked for and not there) or not-checked.",
			"A fact or finding is an answer's id, or {answer: ID} or {value: FIGURE}",
			"with, if you like, sure (probably, or a confidence such as 0.7), source",
			"(measured, logged, remembered, assumed) and note. The ids are those of",
			"`filmfault rules list`. Keys that are not read are kept as they are.",
		}, "\n")},
	}
}

// addTopics puts the topics under the root: `filmfault help exit-codes`.
func addTopics(root *cobra.Command) {
	for _, t := range topics() {
		root.AddCommand(&cobra.Command{Use: t.name, Short: t.short, Long: t.text, Args: takes(0, 0, "")})
	}
}

// newHelp takes the place of cobra's help command, which succeeds at a command
// that does not exist.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND...]",
		Short: "Explain a command or a topic",
		Args:  takes(0, -1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			about := cmd.Root()
			for _, word := range args {
				next := child(about, word)
				if next == nil {
					return noCommand(about, word)
				}
				about = next
			}
			about.InitDefaultHelpFlag()
			return about.Help()
		},
	}
}

func child(of *cobra.Command, name string) *cobra.Command {
	for _, sub := range of.Commands() {
		if sub.Name() == name {
			return sub
		}
	}
	return nil
}
