// Package api is the service: one table of routes, thin handlers, one writer of
// errors, and the middleware that keeps a local service to its own user.
//
// What is answered comes from package calc; here it is only carried. Every error
// is a calc.Problem in application/problem+json, whoever found it: the schema,
// the calculation, the router, a limit, or a fault of this program.
package api
