package main

// runScreen opens the terminal UI on what was loaded.
func runScreen(t *task) error { return t.rank(t.jobName) }
