package web

import "testing"

func TestNextFollowsForecastAndOdds(t *testing.T) {
	a, _ := oddsApp(t)
	first := func() any {
		return dig(a.want(200, get, "/flights/lark/next", ""), "steps").([]any)[0].(map[string]any)["id"]
	}
	// The invented forecast covers the invented launch.
	if got := first(); got != "odds" {
		t.Errorf("first is %v, expected odds", got)
	}
	a.finish(`{"weather":["demo"],"members":20}`)
	if got := first(); got == "odds" {
		t.Error("the odds were flown, and still they are to be looked at")
	}
	// A changed flight has odds of its own.
	document := dig(a.want(200, get, "/flights/lark", ""), "revision", "document").(string)
	a.want(201, post, "/flights/lark/revisions", text(map[string]any{"from": 1, "what": "a note", "document": document + "\n# changed\n"}))
	if got := first(); got != "odds" {
		t.Errorf("after a change first is %v, expected odds", got)
	}
}
