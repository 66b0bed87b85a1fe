// Package pages is what a person sees at / of the service: the preview of a
// blend, the wines of the records, and the import of a laboratory's files.
//
// Every page is made on the server, whole, and works without script; script
// moves what it shows (see the folder script). The preview keeps its state in
// its address (slot.go), makes a request of it (draft.go), and answers with the
// ladder and with its path computed finely (live.go), which the script looks up
// while a slider moves. What cannot be read in an address is named, in the words
// of the interface's own problems, and the rest is shown.
//
// The pages compute nothing: each number comes from package calc and is rounded
// here for reading. Their text is in text/en.json, the invented wines in
// cellar/cellar.json, and all of it is embedded.
package pages
