// Package pages is what a person sees at / of the service: the preview of a
// blend, the wines of the records, the import of a laboratory's files, and the
// bench where a trial's glasses are poured.
//
// Every page is made on the server, whole, and works without script; script
// moves what it shows (see the folder script). The preview keeps its state in
// its address (slot.go), makes a request of it (draft.go), and answers with the
// ladder and with its path computed finely (live.go), which the script looks up
// while a slider moves. What cannot be read in an address is named, in the words
// of the interface's own problems, and the rest is shown.
//
// The bench needs no script at all: each press sends a form, which becomes a body
// of the interface (benchsend.go), so that the same things are refused in the same
// words, and leads back to the page. A form has a key of its own, so that pressing
// twice counts once. Where the page stands is in its address (benchplace.go).
//
// The pages compute nothing: each number comes from package calc and is rounded
// here for reading. Their text is in text/en.json and its like for other
// languages (language.go), the invented wines in cellar/cellar.json, and all of it
// is embedded.
package pages
