package web

import (
	"context"
	"reflect"
)

// signAs puts the name of who is signed in over the one that a body gives under
// "who": nobody enters anything in another's name. Every body is read in one place
// (readJSON), and there this is done, so that no handler can forget it.
func signAs(ctx context.Context, body any) {
	name := Who(ctx)
	v := reflect.ValueOf(body)
	if name == "" || v.Kind() != reflect.Pointer || v.Elem().Kind() != reflect.Struct {
		return
	}
	if f := v.Elem().FieldByName("Who"); f.Kind() == reflect.String {
		f.SetString(name)
	}
}
