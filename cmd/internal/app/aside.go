package app

import (
	"context"
	"fmt"
	"runtime/debug"
)

// aside does work of the processor alone, which knows no context, so that who stops
// asking need not wait for its end: what it then comes to is thrown away. The work must
// change nothing that is used besides.
func aside[T any](ctx context.Context, work func() (T, error)) (T, error) {
	var (
		out   T
		err   error
		fault any
		ended = make(chan struct{})
	)
	go func() {
		defer close(ended)
		defer func() {
			if fault = recover(); fault != nil {
				fault = fmt.Sprintf("%v\n%s", fault, debug.Stack()) // whoever catches it sees its own stack alone
			}
		}()
		out, err = work()
	}()
	select {
	case <-ended:
	case <-ctx.Done():
	}
	switch {
	case ctx.Err() != nil:
		var none T
		return none, ctx.Err()
	case fault != nil:
		panic(fault)
	}
	return out, err
}
