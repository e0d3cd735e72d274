package forecast

// ReadError says why a reply could not be used and what the person can do
// about it. A reply is taken whole or not at all: there is never a partly read
// forecast beside a ReadError.
type ReadError struct {
	Service string // which service's reply it is, "" when that could not be told
	Reason  string // what is wrong, in plain words, lower case, no full stop
	Fix     string // what to do about it, "" when there is nothing to say
	Err     error  // the error beneath, nil when there is none
}

// Error is the service and the reason; the fix is left to whoever shows it.
func (e *ReadError) Error() string {
	if e.Service == "" {
		return "forecast reply: " + e.Reason
	}
	return e.Service + " reply: " + e.Reason
}

// Unwrap gives the error beneath, for errors.Is and errors.As.
func (e *ReadError) Unwrap() error { return e.Err }
