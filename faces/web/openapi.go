package web

import (
	"encoding/json"
	"net/http"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// The description of the API is made from the table of routes and the Go types
// in it, as OpenAPI 3.1 [OpenAPI].

type object = map[string]any

func (s *Server) description(*http.Request) (any, error) { return describe(s.version), nil }

func describe(version string) object {
	schemas := object{}
	paths := object{}
	refusal := object{"$ref": "#/components/schemas/" + schemaName(reflect.TypeFor[problem]())}
	schemaOf(reflect.TypeFor[problem](), schemas)
	for _, row := range routes() {
		operation := object{"operationId": row.id, "summary": row.text}
		if list := parametersOf(row); len(list) > 0 {
			operation["parameters"] = list
		}
		if row.request != nil {
			operation["requestBody"] = object{"required": true, "content": object{
				"application/json": object{"schema": schemaOf(reflect.TypeOf(row.request), schemas)},
			}}
		}
		if row.file {
			operation["requestBody"] = object{"required": true, "content": object{"application/octet-stream": object{}}}
		}
		answer := object{"description": "answered"}
		switch {
		case row.answer != nil:
			answer["content"] = object{"application/json": object{"schema": schemaOf(reflect.TypeOf(row.answer), schemas)}}
		case row.contentType != "":
			answer["content"] = object{row.contentType: object{"schema": object{"type": "string"}}}
		}
		responses := object{strconv.Itoa(row.status): answer}
		for _, status := range row.refusals {
			responses[strconv.Itoa(status)] = object{"description": http.StatusText(status), "content": object{
				"application/problem+json": object{"schema": refusal},
			}}
		}
		operation["responses"] = responses
		full := apiPrefix + row.path
		if paths[full] == nil {
			paths[full] = object{}
		}
		paths[full].(object)[strings.ToLower(row.method)] = operation
	}
	return object{
		"openapi":    "3.1.0",
		"info":       object{"title": "pappus", "version": version, "description": "SI units; the unit stands last in a key's name. Times are RFC 3339."},
		"paths":      paths,
		"components": object{"schemas": schemas},
	}
}

var inPath = regexp.MustCompile(`\{(\w+)\}`)

func parametersOf(row route) []object {
	var list []object
	for _, match := range inPath.FindAllStringSubmatch(row.path, -1) {
		list = append(list, object{"name": match[1], "in": "path", "required": true, "schema": object{"type": "string"}})
	}
	for _, q := range row.query {
		kind := "string"
		if q.number {
			kind = "integer"
		}
		list = append(list, object{"name": q.name, "in": "query", "description": q.text, "schema": object{"type": kind}})
	}
	return list
}

func schemaName(t reflect.Type) string {
	name := strings.TrimSuffix(t.Name(), "Answer")
	return strings.ToUpper(name[:1]) + name[1:]
}

// schemaOf describes a Go type as encoding/json writes it. Structs are described
// once, under their name.
func schemaOf(t reflect.Type, schemas object) object {
	switch {
	case t == reflect.TypeFor[time.Time]():
		return object{"type": "string", "format": "date-time"}
	case t.Kind() == reflect.Pointer:
		return schemaOf(t.Elem(), schemas)
	case t.Implements(reflect.TypeFor[json.Marshaler]()):
		return object{"type": "object"} // writes itself: a contractDocument
	case t.Kind() == reflect.Struct && t.Name() != "":
		name := schemaName(t)
		if schemas[name] == nil {
			schemas[name] = object{} // a type may hold itself
			schemas[name] = structSchema(t, schemas)
		}
		return object{"$ref": "#/components/schemas/" + name}
	case t.Kind() == reflect.Struct:
		return structSchema(t, schemas)
	case t.Kind() == reflect.Slice, t.Kind() == reflect.Array:
		return object{"type": "array", "items": schemaOf(t.Elem(), schemas)}
	case t.Kind() == reflect.Map:
		return object{"type": "object"}
	case t.Kind() == reflect.String:
		return object{"type": "string"}
	case t.Kind() == reflect.Bool:
		return object{"type": "boolean"}
	case t.Kind() == reflect.Float64:
		return object{"type": "number"}
	case t.Kind() == reflect.Int, t.Kind() == reflect.Int64:
		return object{"type": "integer"}
	}
	panic("web: the description knows no schema for " + t.String())
}

func structSchema(t reflect.Type, schemas object) object {
	properties := object{}
	required := []string{}
	for i := range t.NumField() {
		name, options, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if name == "" || name == "-" {
			continue
		}
		properties[name] = schemaOf(t.Field(i).Type, schemas)
		if !strings.Contains(options, "omitempty") {
			required = append(required, name)
		}
	}
	return object{"type": "object", "properties": properties, "required": required}
}
