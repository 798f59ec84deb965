package engine

import "example.org/pinhoist/internal/topology"

// EnvFor is the environment that a question is answered in, with the designer
// of coil drivers, for tests that make designs themselves.
func EnvFor(in *Input, brief bool) *topology.Env { return newRun(in, brief).env }
