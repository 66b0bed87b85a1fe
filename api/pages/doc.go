// Package pages is what a person sees at / of the service: one page, made on the
// server, that works without script and keeps its state in its address.
//
// With a cellar it opens on a ladder of invented wines, to choose among; without
// one it opens empty and says what to do first. On both, readings of one's own
// can be typed in. What the page cannot read in an address it names, in the
// words of the interface's own problems, and shows the rest.
//
// The pages compute nothing: each number comes from package calc and is rounded
// here for reading. Their text is in text/en.json, the invented wines in
// cellar/cellar.json, and all of it is embedded.
package pages
