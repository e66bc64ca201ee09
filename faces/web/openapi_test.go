package web

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"
)

func described(t *testing.T, a *app) map[string]any {
	t.Helper()
	return a.want(200, get, "/openapi.json", "")
}

func TestEveryRouteIsDescribed(t *testing.T) {
	d := described(t, newApp(t))
	seen := map[string]bool{}
	for _, row := range routes() {
		operation, _ := dig(d, "paths", apiPrefix+row.path).(map[string]any)[strings.ToLower(row.method)].(map[string]any)
		if operation == nil || operation["operationId"] != row.id || operation["summary"] == "" {
			t.Errorf("%s %s is not described: %v", row.method, row.path, operation)
		}
		if seen[row.id] {
			t.Errorf("two operations are named %s", row.id)
		}
		seen[row.id] = true
		if (row.handle == nil) == (row.raw == nil) || row.status == 0 {
			t.Errorf("%s: a row has one handler and a status", row.id)
		}
	}
	if d["openapi"] != "3.1.0" {
		t.Errorf("openapi %v", d["openapi"])
	}
}

// check holds a value against a schema: every key is described, every required
// key is there, and types agree.
func check(d map[string]any, schema map[string]any, value any, at string) error {
	if ref, is := schema["$ref"].(string); is {
		target, known := dig(d, "components", "schemas").(map[string]any)[strings.TrimPrefix(ref, "#/components/schemas/")].(map[string]any)
		if !known {
			return fmt.Errorf("%s: %s leads nowhere", at, ref)
		}
		return check(d, target, value, at)
	}
	kinds := map[string]string{"string": "string", "float64": "number", "bool": "boolean", "map[string]interface {}": "object", "[]interface {}": "array"}
	kind, wanted := kinds[fmt.Sprintf("%T", value)], schema["type"]
	if kind != wanted && !(kind == "number" && wanted == "integer") {
		return fmt.Errorf("%s is %T, described as %v", at, value, wanted)
	}
	if list, is := value.([]any); is {
		for i, item := range list {
			if err := check(d, schema["items"].(map[string]any), item, at+"["+strconv.Itoa(i)+"]"); err != nil {
				return err
			}
		}
	}
	object, is := value.(map[string]any)
	properties, closed := schema["properties"].(map[string]any)
	if !is || !closed {
		return nil
	}
	for key, v := range object {
		property, known := properties[key].(map[string]any)
		if !known {
			return fmt.Errorf("%s.%s is not described", at, key)
		}
		if err := check(d, property, v, at+"."+key); err != nil {
			return err
		}
	}
	for _, key := range schema["required"].([]any) {
		if _, there := object[key.(string)]; !there {
			return fmt.Errorf("%s lacks %s", at, key)
		}
	}
	return nil
}

// asDescribed holds an answer against what the description says of it.
func asDescribed(d map[string]any, method, template string, w *httptest.ResponseRecorder) error {
	var value any
	if err := json.Unmarshal(w.Body.Bytes(), &value); err != nil {
		return err
	}
	operation := dig(d, "paths", apiPrefix+template, strings.ToLower(method)).(map[string]any)
	answer, known := dig(operation, "responses").(map[string]any)[strconv.Itoa(w.Code)].(map[string]any)
	if !known {
		return fmt.Errorf("%s %s answers %d, which is not described: %s", method, template, w.Code, w.Body)
	}
	schema := dig(answer, "content", w.Header().Get("Content-Type"), "schema").(map[string]any)
	return check(d, schema, value, operation["operationId"].(string))
}

func TestAnswersAreAsDescribed(t *testing.T) {
	a := newApp(t)
	d := described(t, a)
	asked := []string{}
	ask := func(method, template, path, body string) {
		if err := asDescribed(d, method, template, a.send(method, apiPrefix+path, body)); err != nil {
			t.Error(err)
		}
		operation := dig(d, "paths", apiPrefix+template, strings.ToLower(method)).(map[string]any)
		asked = append(asked, operation["operationId"].(string))
	}
	ask(get, "/about", "/about", "")
	ask(get, "/starts", "/starts", "")
	ask(post, "/flights", "/flights", `{"start":"school","name":"Lark"}`)
	ask(post, "/flights", "/flights", `{"document":"x","name":"Broken"}`)
	ask(post, "/flights", "/flights", `{}`)
	ask(get, "/flights", "/flights", "")
	ask(get, "/flights/{id}", "/flights/lark", "")
	ask(get, "/flights/{id}", "/flights/none", "")
	ask(post, "/flights/{id}/revisions", "/flights/lark/revisions", `{"from":1,"what":"all","document":"name = 1"}`)
	ask(post, "/flights/{id}/revisions", "/flights/lark/revisions", `{"from":1,"what":"all","document":"name = 2"}`)
	ask(get, "/flights/{id}/revisions", "/flights/lark/revisions", "")
	ask(get, "/flights/{id}/revisions/{number}", "/flights/lark/revisions/2", "")
	ask(post, "/flights/{id}/undo", "/flights/lark/undo", `{"from":2}`)
	ask(post, "/flights/{id}/redo", "/flights/lark/redo", `{"from":1}`)
	ask(post, "/flights/{id}/redo", "/flights/lark/redo", `{"from":2}`)
	ask(post, "/flights/{id}/return", "/flights/lark/return", `{"from":2,"to":1}`)
	ask(post, "/flights/{id}/archive", "/flights/lark/archive", "")
	ask(post, "/flights/{id}/unarchive", "/flights/lark/unarchive", "")
	ask(drop, "/flights/{id}", "/flights/lark", "")
	ask(post, "/flights/{id}/archive", "/flights/lark/archive", "")
	ask(post, "/flights/{id}/restore", "/flights/lark/restore", "")
	ask(post, "/flights/{id}/answers", "/flights/lark/answers", `{"units":"us","edits":[{"kind":"set","path":"envelope.mass","text":"800 g"}]}`)
	ask(post, "/flights/{id}/answers", "/flights/lark/answers", `{"edits":[{"kind":"set","path":"envelope.mass","text":"heavy"}]}`)
	ask(post, "/flights/{id}/answers", "/flights/lark/answers", `{"edits":[{"kind":"burn","path":"envelope.mass"}]}`)
	ask(get, "/flights/{id}/next", "/flights/lark/next?units=us", "")
	ask(get, "/flights/{id}/next", "/flights/lark/next?units=old", "")
	ask(get, "/flights/{id}/next", "/flights/none/next", "")
	ask(post, "/flights/{id}/wishes", "/flights/lark/wishes", `{"wish":"higher"}`)
	ask(post, "/flights/{id}/fill", "/flights/lark/fill", `{"measured":{"weighed":"2.6 kg"}}`)
	ask(get, "/jobs", "/jobs", "")
	ask(get, "/jobs/{id}", "/jobs/0-1", "")
	ask(get, "/jobs/{id}/result", "/jobs/0-1/result", "")
	ask(post, "/jobs/{id}/cancel", "/jobs/none/cancel", "")
	askOdds(ask)
	askWeather(ask)
	askPapers(ask)
	ask(get, "/openapi.json", "/openapi.json", "")
	for _, row := range routes() {
		if row.raw == nil && !slices.Contains(asked, row.id) {
			t.Errorf("%s was not asked", row.id)
		}
	}
}
