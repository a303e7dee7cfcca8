//go:build js && wasm

// Bottlecrop-web is the part of the program that a book carries: it works a sheet out in
// the page, for another number of vessels or what else is different on the day. The page's
// script (templates/rescale.js) loads it and calls
//
//	bottlecrop.open(carried, n)   with what the book carries of the protocol, as JSON, and the number of
//	                              vessels of the printed sheet; the
//	                              catalog of its language, if not English, is bottlecropWords
//	bottlecrop.work(fields)       the sheet for the fields of its form, as a query string
//	bottlecrop.restore(fragment)  the document that an address asks for
//
// Each gives an object. It has failed where it has a member of that name; else page is
// the whole page, made by html/template from the templates of the book.
package main

import (
	"fmt"
	"net/url"
	"strconv"
	"syscall/js"

	"bottlecrop/cmd/internal/rescale"
)

// session is the sheet that is open in the page.
var session *rescale.Session

func main() {
	js.Global().Set("bottlecrop", map[string]any{
		"open": answered(open),
		"work": answered(func(text, _ string) (map[string]any, error) {
			fields, err := url.ParseQuery(text)
			if err != nil {
				return nil, err
			}
			return told(session.Work(fields))
		}),
		"restore": answered(func(text, _ string) (map[string]any, error) { return told(session.Restore(text)) }),
	})
	select {} // the page calls
}

// open opens the sheet of so many vessels with what the book carries.
func open(text, size string) (map[string]any, error) {
	catalog := js.Global().Get("bottlecropWords")
	spoken := ""
	if catalog.Type() == js.TypeString {
		spoken = catalog.String()
	}
	printed, err := strconv.Atoi(size)
	if err != nil {
		return nil, err
	}
	opened, err := rescale.Open([]byte(text), spoken, printed)
	if err == nil {
		session = opened
	}
	return map[string]any{}, err
}

// told is an answer as the page's script takes it.
func told(a rescale.Answer, err error) (map[string]any, error) {
	links := map[string]any{}
	for from, to := range a.Links {
		links[from] = to
	}
	return map[string]any{"page": a.Page, "said": a.Said, "fragment": a.Fragment, "links": links, "refused": a.Refused, "worked": a.Worked}, err
}

// answered makes a function of the page's of one that takes up to two texts.
func answered(work func(text, more string) (map[string]any, error)) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) (out any) {
		defer func() { // what would end the program must not leave an old sheet standing
			if r := recover(); r != nil {
				out = map[string]any{"failed": fmt.Sprint(r)}
			}
		}()
		texts := [2]string{}
		for i, a := range args {
			if i >= len(texts) || a.Type() != js.TypeString {
				return map[string]any{"failed": "takes texts"}
			}
			texts[i] = a.String()
		}
		answer, err := work(texts[0], texts[1])
		if err != nil {
			return map[string]any{"failed": err.Error()}
		}
		return answer
	})
}
