// Package invented fills a store with an invented cellar that has work in it: what
// a demonstration shows. Everything goes through the functions that requests go
// through, at the times that the story has it, so that verdicts, charts and results
// of panels are computed as for anybody. No winery, wine or person in it is real.
package invented
