// Package money adds up what a flight costs by the person's own prices, what is
// lost with the box, and how likely it comes back.
package money

import (
	"fmt"
	"slices"
	"strings"

	"pappus/record"
)

// Answer is what a flight costs and what is at stake.
type Answer struct {
	Name     string   `json:"name,omitempty"`
	Currency string   `json:"currency,omitempty"`
	Groups   []Group  `json:"groups"`
	Missing  []string `json:"missing"` // what has no price in the file: never guessed
	Total    float64  `json:"total"`   // of the prices that are known, deposits that come back left out
	Out      float64  `json:"to_lay_out"`
	Deposits float64  `json:"deposits"`
	Returned float64  `json:"deposits_returned"`
	Budget   *float64 `json:"budget,omitempty"`
	Left     *float64 `json:"budget_left,omitempty"`
	Stake    Stake    `json:"stake"`
	Back     Back     `json:"getting_it_back"`
	Notes    []string `json:"notes"`
}

// Group is one kind of cost.
type Group struct {
	Name  string  `json:"name"`
	Lines []Line  `json:"lines"`
	Sum   float64 `json:"sum"`
}

// Line is one price.
type Line struct {
	Name  string  `json:"name"`
	Count int     `json:"count"`
	Each  float64 `json:"each"`
	Sum   float64 `json:"sum"`
}

// Stake is what is lost when the box is not found.
type Stake struct {
	Lost     float64 `json:"lost_if_not_found"` // what flies and would have come back
	Gone     float64 `json:"gone_either_way"`   // envelope, gas, travel, fees
	Expected float64 `json:"expected_loss"`     // lost × chance of not getting it back
	Text     string  `json:"text"`
}

// tally gathers the lines.
type tally struct {
	answer *Answer
	group  *Group
}

func (t *tally) open(name string) {
	t.answer.Groups = append(t.answer.Groups, Group{Name: name, Lines: []Line{}})
	t.group = &t.answer.Groups[len(t.answer.Groups)-1]
}

func (t *tally) add(name string, count int, price record.Quantity) float64 {
	if count == 0 {
		return 0
	}
	if !price.Given {
		t.answer.Missing = append(t.answer.Missing, name)
		return 0
	}
	sum := price.Value * float64(count)
	t.group.Lines = append(t.group.Lines, Line{name, count, price.Value, sum})
	t.group.Sum += sum
	return sum
}

// Of answers the money of a flight. The chances stand in the file, in what is
// asked, and in a forecast's odds.
func Of(f *record.Flight, c Chances) *Answer {
	a := &Answer{Name: f.Name, Currency: f.Currency, Missing: []string{}, Notes: []string{}}
	t := &tally{answer: a}
	t.open("envelope and gas")
	gone := t.add(named("envelope", f.Envelope.Name), 1, f.Envelope.Price)
	deposits := 0.0
	for i := range f.Cylinders {
		b := &f.Cylinders[i]
		gone += t.add(named("cylinder of "+f.Gas.Kind.String(), b.Name), b.Count, b.Price)
		deposits += b.Deposit.Value * float64(b.Count)
	}
	if len(f.Cylinders) == 0 {
		a.Missing = append(a.Missing, "gas: no cylinder is in the file")
	}
	lost := a.flown(t, f)
	t.open("spares")
	for i := range f.Spares {
		s := &f.Spares[i]
		t.add(s.Name, s.Count, s.Price)
	}
	t.open("travel and fees")
	gone += t.add("travel: fuel, nights, tolls", 1, f.Cost.Travel)
	gone += t.add("subscriptions, licences, insurance", 1, f.Cost.Fees)
	if f.Cost.Other.Given {
		gone += t.add("other", 1, f.Cost.Other)
	}
	a.Groups = slices.DeleteFunc(a.Groups, func(g Group) bool { return len(g.Lines) == 0 })
	a.settle(f, deposits)
	a.Back = backOf(f, c)
	a.stake(f, lost, gone)
	return a
}

func named(what, name string) string {
	if name == "" {
		return what
	}
	return what + " " + name
}

// flown adds what hangs below the envelope. A device that is both an item of a box
// and a reporter is counted once.
func (a *Answer) flown(t *tally, f *record.Flight) float64 {
	sum := 0.0
	t.open("what flies and comes back")
	priced := map[string]bool{}
	for i := range f.Train {
		p := &f.Train[i]
		sum += t.add(partName(p, i), 1, p.Price)
		for k := range p.Items {
			item := &p.Items[k]
			price := item.Price
			if r := reporterNamed(f, item.Name); r != nil {
				priced[item.Name] = true
				switch {
				case !price.Given:
					price = r.Price
				case r.Price.Given:
					a.Notes = append(a.Notes, fmt.Sprintf("%s has a price as an item and as a reporter: the item's is counted", item.Name))
				}
			}
			sum += t.add(itemName(item), item.Count, price)
		}
	}
	for i := range f.Reporters {
		if r := &f.Reporters[i]; !priced[r.Name] {
			sum += t.add(named("reporter", r.Name), 1, r.Price)
		}
	}
	return sum
}

// partName tells apart parts that have no name by their place from the top.
func partName(p *record.Part, at int) string {
	if p.Name == "" {
		return fmt.Sprintf("%s (part %d from the top)", p.Kind, at+1)
	}
	return named(p.Kind.String(), p.Name)
}

func itemName(i *record.Item) string {
	switch {
	case i.Name != "":
		return i.Name
	case i.Kind != "":
		return i.Kind
	}
	return "an item without a name"
}

func reporterNamed(f *record.Flight, name string) *record.Reporter {
	for i := range f.Reporters {
		if name != "" && f.Reporters[i].Name == name {
			return &f.Reporters[i]
		}
	}
	return nil
}

func (a *Answer) settle(f *record.Flight, deposits float64) {
	for _, g := range a.Groups {
		a.Total += g.Sum
	}
	share := 1.0
	if f.Cost.Returned.Given {
		share = f.Cost.Returned.Value
	}
	a.Deposits, a.Returned = deposits, deposits*share
	a.Out = a.Total + deposits
	a.Total += deposits - a.Returned
	if f.Limits.Budget.Given {
		left := f.Limits.Budget.Value - a.Total
		a.Budget, a.Left = &f.Limits.Budget.Value, &left
	}
	if f.Currency == "" {
		a.Notes = append(a.Notes, "the file names no currency: prices are bare numbers")
	}
	if len(a.Missing) > 0 {
		a.Notes = append(a.Notes, "what has no price is not counted and not guessed: the sums are at least this much")
	}
}

func (a *Answer) stake(f *record.Flight, lost, gone float64) {
	s := &a.Stake
	s.Lost, s.Gone = lost, gone+a.Deposits-a.Returned
	s.Expected = lost * (1 - a.Back.Chance)
	s.Text = fmt.Sprintf("%s would be lost with the box; %s are spent whether it is found or not. At the chance below, %s of loss is to be expected in the mean. Pictures and data have no price here.",
		Amount(s.Lost, f.Currency), Amount(s.Gone, f.Currency), Amount(s.Expected, f.Currency))
}

// Amount writes a price.
func Amount(value float64, currency string) string {
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", value, currency))
}
