package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
	"pourpath/api/store"
)

const examplePanel = `{
  "name": "Thursday",
  "glasses": ["A", "B", "C"],
  "question": "Which colour do you like most?",
  "answer": "ranks",
  "judges": [{"name": "Ada"}, {"name": "Ben"}, {"name": "Cleo"}, {"name": "Dan"}],
  "leader": "Eve"
}`

// panelCommand is blind panels from a shell.
func (s *session) panelCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "panel", Short: "Blind panels on a trial's glasses: open, links, answers, result, documents", Args: noArguments,
		Long: "A panel is one blind session: the glasses of a trial get codes, each judge gets an order of\nserving and a link, and what they answer is told once the session is closed. PANEL is its\nidentifier, the beginning of it, or its name, where only one panel has that.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(s.panelOpen(), s.panelList(), s.panelShow(), s.panelJoin(), s.panelLink(), s.panelAnswer(), s.panelClose(), s.panelResult())
	c.AddCommand(s.panelLabels(), s.panelSheets(), s.panelPouring())
	return c
}

// atPanels opens the store for a command and gives it its panels.
func (s *session) atPanels(c *cobra.Command, work func(*panel.Panels, *store.Store) error) error {
	err := s.records.withStore(c.Context(), func(st *store.Store) error {
		p := panel.New(st)
		p.Version = version
		return work(p, st)
	})
	for _, known := range []error{record.ErrArchived, record.ErrPanelOpen, record.ErrPanelClosed} {
		if errors.Is(err, known) {
			return usage("%s", known)
		}
	}
	return err
}

// ofPanel is a command about one panel, which work is given as its leader sees it.
func (s *session) ofPanel(use, short, long string, work func(c *cobra.Command, p *panel.Panels, now panel.Session) error) *cobra.Command {
	c := &cobra.Command{
		Use: use + " PANEL", Short: short, Long: long, Args: oneWord("one panel: its identifier, the beginning of it, or its name; pourpath panel list has them"),
		RunE: func(c *cobra.Command, args []string) error {
			if !s.records.there() {
				return usage("there are no records in %s, so there is no panel %q: say with --data where they are", s.records.data, args[0])
			}
			return s.atPanels(c, func(p *panel.Panels, _ *store.Store) error {
				all, err := allPanels(c.Context(), p)
				if err != nil {
					return err
				}
				list := make([]candidate, len(all))
				for i, one := range all {
					list[i] = candidate{one.ID, one.Name, false}
				}
				id, err := meant(args[0], "panel", list)
				if err != nil {
					return err
				}
				now, err := p.Panel(c.Context(), id)
				if err != nil {
					return err
				}
				return work(c, p, now)
			})
		},
	}
	s.forRecords(c)
	return c
}

func allPanels(ctx context.Context, p *panel.Panels) ([]panel.Session, error) {
	list := func(page record.Page) ([]panel.Session, error) { return p.Panels(ctx, page) }
	return everyPage(list, func(one panel.Session) string { return one.ID }, false)
}

// judgeMeant finds the judge of a panel by name or identifier.
func judgeMeant(now panel.Session, said string) (panel.SessionJudge, error) {
	var names []string
	for _, j := range now.Judges {
		if j.ID == said || strings.EqualFold(j.Name, strings.TrimSpace(said)) {
			return j, nil
		}
		names = append(names, j.Name)
	}
	return panel.SessionJudge{}, usage("this panel has no judge %q; it has %s", said, strings.Join(names, ", "))
}

// addressFlag adds where judges reach the service.
func addressFlag(c *cobra.Command, at *string) {
	c.Flags().StringVar(at, "at", "", "`ADDRESS` of the service as judges reach it, such as https://192.168.1.20:8420; links are printed below it")
}

func (s *session) panelOpen() *cobra.Command {
	var at string
	c := &cobra.Command{
		Use: "open TRIAL", Short: "Open a panel on a trial's glasses", Args: oneWord("one trial: its identifier, the beginning of it, or its name; pourpath trial list has them"),
		Long:    "Opens a blind session: draws codes and orders of serving, copies the doses that the glasses hold\nnow, and prints a link for each judge. The links are printed once and cannot be told again;\na judge who loses one gets another by pourpath panel link.",
		Example: "  pourpath panel open 'First ladder' -f panel.json",
		RunE: func(c *cobra.Command, args []string) error {
			if !s.records.there() {
				return usage("there are no records in %s, so there is no trial %q: say with --data where they are", s.records.data, args[0])
			}
			data, err := s.request(c, asking{use: "panel open TRIAL", example: examplePanel})
			if err != nil || data == nil {
				return err
			}
			asked, err := calc.DecodeWhole[record.PanelBody](data)
			if err != nil {
				return err
			}
			return s.atPanels(c, func(p *panel.Panels, st *store.Store) error {
				id, err := trialID(c.Context(), bench.New(st), args[0])
				if err != nil {
					return err
				}
				made, err := p.Open(c.Context(), id, asked)
				return s.answered(err, made, func(page *page) {
					page.panel(made.Session)
					page.links(made.Links, at)
				})
			})
		},
	}
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the panel from `FILE`; - is standard input")
	addressFlag(c, &at)
	s.forRecords(c)
	return c
}

func (s *session) panelList() *cobra.Command {
	c := &cobra.Command{
		Use: "list", Short: "List panels, the newest first", Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			if !s.records.there() {
				return s.panelsListed(nil, nil)
			}
			return s.atPanels(c, func(p *panel.Panels, _ *store.Store) error { return s.panelsListed(allPanels(c.Context(), p)) })
		},
	}
	s.forRecords(c)
	return c
}

func (s *session) panelsListed(all []panel.Session, err error) error {
	slices.Reverse(all)
	answer := struct {
		Items []panel.Session `json:"items"`
	}{append([]panel.Session{}, all...)}
	return s.answered(err, answer, func(p *page) { p.panels(all) })
}

func (s *session) panelShow() *cobra.Command {
	return s.ofPanel("show", "Show a panel to its leader", "Shows which code is which glass, in which order judges are served, and who has handed in.\nNot for judges.",
		func(_ *cobra.Command, _ *panel.Panels, now panel.Session) error {
			return s.answered(nil, now, func(page *page) { page.panel(now) })
		})
}

func (s *session) panelJoin() *cobra.Command {
	var names []string
	var at string
	c := s.ofPanel("join", "Ask further judges", "Adds judges while the session is open, and prints their links.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) error {
			if len(names) == 0 {
				return usage("--judges: who joins? Give names with commas between them")
			}
			body := record.PanelJudgesBody{}
			for _, n := range names {
				body.Judges = append(body.Judges, record.PanelJudgeBody{Name: n})
			}
			grown, err := p.Join(c.Context(), now.ID, body)
			return s.answered(byFlag(err), grown, func(page *page) {
				page.panel(grown.Session)
				page.links(grown.Links, at)
			})
		})
	c.Flags().StringSliceVar(&names, "judges", nil, "`NAMES` with commas between them")
	addressFlag(c, &at)
	return c
}

func (s *session) panelLink() *cobra.Command {
	var judge, at string
	c := s.ofPanel("link", "Give a judge another link", "Prints a new link of a judge. The one before dies at once; what was handed in stays.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) error {
			j, err := judgeMeant(now, judge)
			if err != nil {
				return err
			}
			link, err := p.Link(c.Context(), now.ID, j.ID)
			return s.answered(err, link, func(page *page) { page.links([]panel.JudgeLink{link}, at) })
		})
	c.Flags().StringVar(&judge, "judge", "", "`NAME` or identifier of the judge")
	addressFlag(c, &at)
	return c
}

func (s *session) panelAnswer() *cobra.Command {
	var body record.PanelSheetBody
	var judge string
	var ranks, scores []string
	c := s.ofPanel("answer", "Type a judge's paper sheet", "Records what a judge wrote on paper: the codes as they are ranked, the first one first, with =\nbetween those that share a rank, or codes with their scores. A correction names the answer that\nstands, which panel show has, and says why.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) error {
			j, err := judgeMeant(now, judge)
			if err != nil {
				return err
			}
			body.Judge = j.ID
			if body.Answers, err = answersTyped(ranks, scores); err != nil {
				return err
			}
			var f calc.Faults
			if body.Check(&f); f.Err() != nil {
				return byFlag(f.Err())
			}
			answer, again, err := p.Enter(c.Context(), now.ID, body)
			return s.answered(err, answer, func(page *page) { page.entered(j.Name, answer, again) })
		})
	c.Example = "  pourpath panel answer Thursday --judge Ada --ranks 412,938,275\n  pourpath panel answer Friday --judge Ada --scores 412=7,938=5.5,275=2"
	c.Flags().StringVar(&judge, "judge", "", "`NAME` or identifier of the judge")
	c.Flags().StringSliceVar(&ranks, "ranks", nil, "`CODES`, the first one first; = between those that share a rank")
	c.Flags().StringSliceVar(&scores, "scores", nil, "`CODE=SCORE` with commas between them")
	c.Flags().StringVar(&body.By, "by", "", "`NAME` of who types it")
	c.Flags().StringVar(&body.Corrects, "corrects", "", "`ID` of the answer that is corrected")
	c.Flags().StringVar(&body.Reason, "reason", "", "why it is corrected")
	return c
}

// answersTyped are the answers that flags hold.
func answersTyped(ranks, scores []string) (list []record.GlassAnswer, err error) {
	if (len(ranks) == 0) == (len(scores) == 0) {
		return nil, usage("give --ranks, such as --ranks 412,938,275, or --scores, such as --scores 412=7,938=5: one of the two")
	}
	rank := 1
	for _, place := range ranks {
		codes := strings.Split(place, "=")
		for _, code := range codes {
			same := rank
			list = append(list, record.GlassAnswer{Code: strings.TrimSpace(code), Rank: &same})
		}
		rank += len(codes)
	}
	for _, one := range scores {
		code, text, _ := strings.Cut(one, "=")
		score, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil || score-score != 0 {
			return nil, usage("--scores: %q is no code with its score: want one such as 412=7.5", one)
		}
		list = append(list, record.GlassAnswer{Code: strings.TrimSpace(code), Score: &score})
	}
	return list, nil
}

func (s *session) panelClose() *cobra.Command {
	var body record.PanelClosingBody
	var without []string
	c := s.ofPanel("close", "Close the session", "Closes a session: nothing more is taken, and the result is told. Judges who have not handed in\nmust be named, so that nobody is left out by accident.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) error {
			for _, said := range without {
				j, err := judgeMeant(now, said)
				if err != nil {
					return err
				}
				body.Without = append(body.Without, j.ID)
			}
			closed, err := p.Close(c.Context(), now.ID, body)
			if problem := calc.AsProblem(err); problem != nil && problem.Type == record.JudgesMissing {
				for i, f := range problem.Errors {
					j, _ := now.Judge(fmt.Sprint(f.Value))
					problem.Errors[i].Message = fmt.Sprintf("%s has not handed in: wait, or leave this judge out by name or identifier, with --without %s or --without %s", j.Name, strconv.Quote(j.Name), j.ID)
				}
			}
			return s.answered(byFlag(err), closed, func(page *page) { page.panel(closed) })
		})
	c.Flags().StringSliceVar(&without, "without", nil, "`NAMES` or identifiers of judges who are left out, with commas between them")
	c.Flags().StringVar(&body.By, "by", "", "`NAME` of who closes it")
	c.Flags().StringVar(&body.Note, "note", "", "what there is to say of the session")
	return c
}

func (s *session) panelResult() *cobra.Command {
	return s.ofPanel("result", "Show what a closed panel found", "Shows whether the glasses differ, whether the answers go along with the dose, which dose is put\nfirst, how far the judges agree, and what so few judges could not have found.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) error {
			found, err := p.Outcome(c.Context(), now.ID)
			return s.answered(err, found, func(page *page) { page.outcome(found) })
		})
}

func (s *session) panelLabels() *cobra.Command {
	return s.panelPaper("labels", "Print the labels with the codes", "Prints a label for each glass of each judge, to be cut out.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) (document, error) {
			return p.Labels(c.Context(), now.ID)
		})
}

func (s *session) panelSheets() *cobra.Command {
	var judge string
	c := s.panelPaper("sheets", "Print sheets for judges without a phone", "Prints a page for each judge: the codes in that judge's order, places for the answers, how to look.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) (document, error) {
			id := ""
			if judge != "" {
				j, err := judgeMeant(now, judge)
				if err != nil {
					return nil, err
				}
				id = j.ID
			}
			return p.Sheets(c.Context(), now.ID, id)
		})
	c.Flags().StringVar(&judge, "judge", "", "`NAME` or identifier of a judge, for that sheet alone")
	return c
}

func (s *session) panelPouring() *cobra.Command {
	return s.panelPaper("pouring", "Print which code is which glass", "Prints the list for whoever pours: codes, glasses and doses. Not for judges.",
		func(c *cobra.Command, p *panel.Panels, now panel.Session) (document, error) {
			return p.PouringList(c.Context(), now.ID)
		})
}

// panelPaper is a command that prints a document of a panel.
func (s *session) panelPaper(use, short, long string, work func(*cobra.Command, *panel.Panels, panel.Session) (document, error)) *cobra.Command {
	var out string
	return printing(s.ofPanel(use, short, long, func(c *cobra.Command, p *panel.Panels, now panel.Session) error {
		d, err := work(c, p, now)
		if err != nil {
			return err
		}
		return s.print(d, out)
	}), &out)
}

// panelName is what a panel is called.
func panelName(now panel.Session) string { return cmp.Or(now.Name, now.Question) }
