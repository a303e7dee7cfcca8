package checks

import "reflect"

// Copy is a value with nothing in it shared: pointers, lists and maps are copied, and what
// they hold. So many tests may each change a farm that was read once. Fields that are not
// exported are as they were, and what an interface or a function holds is shared.
func Copy[T any](v T) T {
	out := v
	deepen(reflect.ValueOf(&out).Elem())
	return out
}

// deepen gives a value, which can be set, its own of all that it points to.
func deepen(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			own := reflect.New(v.Type().Elem())
			own.Elem().Set(v.Elem())
			deepen(own.Elem())
			v.Set(own)
		}
	case reflect.Slice:
		if v.IsNil() {
			return
		}
		own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(own, v)
		v.Set(own)
		if holds(v.Type().Elem()) {
			for i := range v.Len() {
				deepen(v.Index(i))
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			deepen(v.Index(i))
		}
	case reflect.Map:
		if v.IsNil() {
			return
		}
		own := reflect.MakeMapWithSize(v.Type(), v.Len())
		for each := v.MapRange(); each.Next(); {
			item := reflect.New(v.Type().Elem()).Elem()
			item.Set(each.Value())
			deepen(item)
			own.SetMapIndex(each.Key(), item)
		}
		v.Set(own)
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Field(i); f.CanSet() {
				deepen(f)
			}
		}
	}
}

// holds reports whether values of a type may share something.
func holds(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Map, reflect.Struct, reflect.Array:
		return true
	}
	return false
}
