package tui

import "example.org/pinhoist/internal/source"

// found says what is wrong at a place of a file that a form stands for. What is not
// there yet is asked for, not found fault with.
func found(e source.Error) string {
	if e.Found == "nothing" {
		return "to be stated: " + e.Expected
	}
	return "found " + e.Found + ", expected " + e.Expected
}
