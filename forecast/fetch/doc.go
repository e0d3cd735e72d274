// Package fetch asks the open weather services for their replies, politely and
// with a memory: it identifies the program, keeps to a request rate, repeats
// what is worth repeating, waits as long as a service asks, does not ask again
// before a reply has expired, and falls back on the last good copy when a
// service fails.
//
// It knows nothing of what a reply says. The folders of the services
// ([dewgap/forecast/openmeteo], [dewgap/forecast/metnorway],
// [dewgap/forecast/nws]) name the address, read the reply and judge it; a
// reply that they reject never replaces a good copy.
//
// # One request
//
//	recall   a saved copy that still passes the caller's check
//	fresh?   before its expiry the copy is the answer and nothing is sent
//	trouble? a service that failed again and again is left alone for a while
//	ask      conditionally when the copy has an ETag or Last-Modified;
//	         tries and waits all fall into one timeout
//	judge    status, size, JSON, then the caller's check
//	save     the new reply, or the old one with its new expiry (304)
//	failed?  the copy, marked stale, with its age and the cause; else an Error
//
// Several runs at once keep one pace and one memory of a failing service
// through [Shared], which like the cache is the caller's.
//
// The package keeps no state of its own beyond the [Cache] that it is given,
// writes no log, and takes the time of day as a function. Deadlines run on the
// context, as everywhere in Go.
package fetch
