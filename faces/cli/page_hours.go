package cli

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"pappus/desk/hours"
	"pappus/measure/unit"
	"pappus/record"
)

// mostBest is how many of the best hours are told in full.
const mostBest = 4

// hoursPage is the strip of launch hours, the best told first.
func hoursPage(f *record.Flight, a *hours.Answer, s unit.System) string {
	p := &page{}
	p.title(a.Name, "which hour and site")
	p.lines("", a.Summary)
	p.head("Best first")
	for _, i := range a.Best()[:min(mostBest, len(a.Hours))] {
		h := &a.Hours[i]
		if !h.Answered() {
			break
		}
		p.item(verdictMark(h.Verdict), fmt.Sprintf("%s, %s: %s. %s", h.Launch().Format("Mon 2 Jan 15:04 -07:00"), h.Site, h.Verdict, strings.Join(h.Reasons, "; ")))
	}
	strip(p, a, s)
	against(p, a)
	p.head("Limits")
	for _, l := range a.Limits {
		whose := "usual"
		if l.Own {
			whose = "yours"
		}
		p.item("-", fmt.Sprintf("%s: %s (%s)", l.Text, limitWords(l, s), whose))
	}
	p.head("Weather used")
	for _, w := range a.Weather {
		line := w.Source
		if w.Cycle != nil {
			line += ", cycle " + *w.Cycle
		}
		if w.Members > 1 {
			line += fmt.Sprintf(", %d members", w.Members)
		}
		p.item("-", line+", for launches from "+w.First+" to "+w.Last)
		for _, n := range w.Notes {
			p.item("", n)
		}
	}
	p.item("-", "wind near the ground: "+groundWinds(a))
	p.head("Not looked at")
	for _, what := range a.NotSeen {
		p.item("-", what)
	}
	for _, what := range unknown(a) {
		p.item("-", what)
	}
	p.head("How sure this is")
	p.lines("  ", fmt.Sprintf("%d flights drawn for each hour and site (seed %d). A verdict holds your limits against these odds; it never says that a flight is legal or safe. The one on the field decides.", a.Members, a.Seed))
	return p.String()
}

func verdictMark(v hours.Verdict) string {
	return map[hours.Verdict]string{hours.Go: "+", hours.Wait: "?", hours.No: "!"}[v]
}

// strip is one line for each hour and site.
func strip(p *page, a *hours.Answer, s unit.System) {
	p.head("Hour by hour, local time; bars: landings in water, in towns, in the dark")
	wide := 0
	if len(a.Sites) > 1 {
		for _, site := range a.Sites {
			wide = max(wide, min(utf8.RuneCountInString(site.Name), 14)+1)
		}
	}
	day := ""
	for i := range a.Hours {
		h := &a.Hours[i]
		if today := h.Launch().Format("Mon 2 Jan 2006"); today != day {
			day = today
			p.WriteString("  " + day + "\n")
		}
		name := []rune(h.Site)
		if wide == 0 {
			name = nil
		} else if len(name) > wide-1 {
			name = append(name[:wide-2], '…')
		}
		fmt.Fprintf(p, "  %s %-*s%-4s %s\n", h.Launch().Format("15:04"), wide, string(name), h.Verdict, stripCells(h, s))
	}
}

// stripCells are what follows the verdict on a line of the strip.
func stripCells(h *hours.Hour, s unit.System) string {
	if !h.Answered() {
		line := strings.Join(h.Reasons, "; ")
		if runes := []rune(line); len(runes) > 50 {
			line = string(runes[:49]) + "…"
		}
		return line
	}
	cells := ""
	for _, id := range []string{"water", "town", "dark"} {
		share, known := 0.0, false
		for _, c := range h.Chances {
			if c.ID == id {
				share, known = c.Probability, true
			}
		}
		cells += "|" + shareBar(share, known)
	}
	way := fmt.Sprintf("%s %s", unit.FormatDistance(*h.Drift, s), hours.Towards(*h.Bearing))
	wind := "wind unknown"
	if n := h.AtLaunch; n.Wind != nil {
		wind = "wind " + unit.FormatSpeed(*n.Wind, s)
		if n.Gust != nil {
			wind += " gust " + unit.FormatSpeed(*n.Gust, s)
		}
	}
	return fmt.Sprintf("%s| %10s  %s", cells, way, wind)
}

// barWidth is how many characters a chance of one fills.
const barWidth = 4

// shareBar draws a chance in eighths of a character; a chance above nothing
// always shows.
func shareBar(share float64, known bool) string {
	if !known {
		return strings.Repeat("?", barWidth)
	}
	eighths := int(share*barWidth*8 + 0.5)
	if share > 0 {
		eighths = max(eighths, 1)
	}
	bar := strings.Repeat("█", eighths/8)
	if rest := eighths % 8; rest > 0 {
		bar += string([]rune(" ▏▎▍▌▋▊▉")[rest])
	}
	return bar + strings.Repeat(" ", barWidth-utf8.RuneCountInString(bar))
}

// against counts what speaks against hours.
func against(p *page, a *hours.Answer) {
	count := map[string]int{}
	missing := 0
	for i := range a.Hours {
		if !a.Hours[i].Answered() {
			missing++
		}
		for _, c := range a.Hours[i].Checks {
			if !c.Within {
				count[c.ID]++
			}
		}
	}
	if len(count)+missing == 0 {
		return
	}
	p.head("What speaks against hours")
	for _, l := range a.Limits {
		if n := count[l.ID]; n > 0 {
			p.item("-", fmt.Sprintf("%s: beyond the limit at %s of %d", l.Text, launches(n), len(a.Hours)))
		}
	}
	if missing > 0 {
		p.item("-", fmt.Sprintf("could not be flown: %s", launches(missing)))
	}
}

func limitWords(l hours.LimitRow, s unit.System) string {
	switch l.Unit {
	case "m/s":
		return unit.FormatSpeed(l.Value, s)
	case "s":
		return unit.FormatDuration(l.Value)
	case "m":
		return unit.FormatDistance(l.Value, s)
	case "J":
		return unit.FormatEnergy(l.Value, s)
	}
	return unit.FormatShare(l.Value)
}

// groundWinds says where the surface winds come from.
func groundWinds(a *hours.Answer) string {
	for i := range a.Hours {
		if n := a.Hours[i].AtLaunch; n != nil {
			return n.Rule
		}
	}
	return "none"
}

// unknown lists what some hours could not be held against, each once.
func unknown(a *hours.Answer) []string {
	count := map[string]int{}
	var order []string
	answered := 0
	for i := range a.Hours {
		if a.Hours[i].Answered() {
			answered++
		}
		for _, u := range a.Hours[i].Unknown {
			if count[u] == 0 {
				order = append(order, u)
			}
			count[u]++
		}
	}
	for i, u := range order {
		if count[u] < answered {
			order[i] = fmt.Sprintf("%s (at %d of %s)", u, count[u], launches(answered))
		}
	}
	return order
}
