package api

import (
	"encoding/json"
	"mime"
	"net/http"

	"tautline/kernel/engine"
	"tautline/kernel/notebook"
)

// start tells the page where it is.
func (a *API) start(*http.Request) (answer, error) {
	body := map[string]any{"version": a.Version, "folder": a.Shelf.Folder(), "drafts": orEmpty(a.Shelf.Drafts())}
	for name, v := range a.Start {
		body[name] = v
	}
	return ok(body)
}

func orEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

func (a *API) undelete(r *http.Request) (answer, error) {
	var q struct{ Undo string }
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	f, err := a.Shelf.Undelete(q.Undo)
	return answer{status: http.StatusOK, body: modelOf(f.Entry)}, err
}

// A draft is what a page holds and has not saved, with the hash of the file
// that it was made from.
type draft struct {
	Content json.RawMessage `json:"content"`
	Match   string          `json:"match"`
	When    string          `json:"when,omitempty"`
}

func (a *API) getDraft(r *http.Request) (answer, error) {
	k, found := a.Shelf.DraftOf(r.PathValue("path"))
	if !found || !json.Valid(k.Data) {
		return answer{}, refusal{http.StatusNotFound, "nothing unsaved is kept of this file"}
	}
	return ok(draft{json.RawMessage(k.Data), k.Match, moment(k.When)})
}

func (a *API) putDraft(r *http.Request) (answer, error) {
	var d draft
	if err := read(r, &d); err != nil {
		return answer{}, err
	}
	data, err := tidy(r.PathValue("path"), d.Content)
	if err == nil {
		err = a.Shelf.Draft(r.PathValue("path"), data, d.Match)
	}
	return done, err
}

func (a *API) deleteDraft(r *http.Request) (answer, error) {
	a.Shelf.DropDraft(r.PathValue("path"))
	return done, nil
}

// original gives a lesson as it came, for a copy that went wrong.
func (a *API) original(r *http.Request) (answer, error) {
	f, err := a.Shelf.Original(r.PathValue("path"))
	if err != nil {
		return answer{}, err
	}
	m, err := filled(f, "notebook", "")
	return answer{status: http.StatusOK, body: m}, err
}

// page makes one page that needs nothing else of a notebook as the browser has
// it, saved or not.
func (a *API) page(r *http.Request) (answer, error) {
	var q struct {
		Name    string
		Content json.RawMessage
	}
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	n, err := notebook.Read(q.Name, q.Content)
	if err != nil {
		return answer{}, refusal{http.StatusBadRequest, err.Error()}
	}
	html, err := n.HTML()
	return answer{status: http.StatusOK, body: map[string]string{"html": string(html)}}, err
}

// attachment is the header that names a file to keep.
func attachment(name string) string {
	return mime.FormatMediaType("attachment", map[string]string{"filename": name})
}

// names tells of each cell which names it gives and which it uses, so that the
// page can mark the cells that rest on one that has changed.
func (a *API) names(r *http.Request) (answer, error) {
	var q struct{ Cells []string }
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	if len(q.Cells) > notebook.MaxCells {
		return answer{}, refusal{http.StatusRequestEntityTooLarge, "these are too many cells"}
	}
	type named struct {
		Gives []string `json:"gives"`
		Uses  []string `json:"uses"`
	}
	all := make([]named, 0, len(q.Cells))
	for _, code := range q.Cells {
		gives, uses := engine.Names(code)
		all = append(all, named{orEmpty(gives), orEmpty(uses)})
	}
	return ok(map[string]any{"cells": all})
}
