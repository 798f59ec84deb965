package catalog

import "reflect"

// Clone is a deep copy of a part: nothing in it is shared with the original.
func Clone(p Part) Part {
	from := reflect.ValueOf(p).Elem()
	to := reflect.New(from.Type())
	to.Elem().Set(from)
	unshare(to.Elem())
	return to.Interface().(Part)
}

// unshare replaces every pointer and slice below v by a copy of its own.
func unshare(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() || !v.CanSet() {
			return
		}
		c := reflect.New(v.Type().Elem())
		c.Elem().Set(v.Elem())
		unshare(c.Elem())
		v.Set(c)
	case reflect.Slice:
		if v.IsNil() || !v.CanSet() {
			return
		}
		c := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(c, v)
		for i := range c.Len() {
			unshare(c.Index(i))
		}
		v.Set(c)
	case reflect.Struct:
		for i := range v.NumField() {
			unshare(v.Field(i))
		}
	}
}
