package sheet

import (
	"strings"

	"example.org/pinhoist/internal/engine"
)

// memoryText says that factors are from memory, where to look them up and which
// are bench's; "" where they are not.
func memoryText(fromMemory bool, lookUp string, fromBench []string) string {
	text := ""
	if fromMemory {
		text = " (from memory)"
		if lookUp != "" {
			text = " (from memory; look them up before anything depends on them: " + lookUp + ")"
		}
	}
	if len(fromBench) > 0 {
		text += "; bench's for what it does not have: " + strings.Join(fromBench, ", ")
	}
	return text
}

// policyText is what a shortlist says of a policy whose factors are from memory.
func policyText(res *engine.Result) string {
	n := &res.Note
	if !n.FromMemory && len(n.FromBench) == 0 {
		return ""
	}
	return "Policy " + res.Policy + ": " + n.Source + memoryText(n.FromMemory, n.LookUp, n.FromBench) + "."
}

// mostNamed is how many parts are told by their ids.
const mostNamed = 8

// refusedByPolicy says which parts the policy alone refuses: by the stated limits
// they have a design that fits.
func (l *list) refusedByPolicy() string {
	for _, r := range l.opt.Refused {
		if r.Load != l.load.Name {
			continue
		}
		text := ""
		if n := len(r.Parts); n > 0 {
			named := r.Parts[:min(n, mostNamed)]
			text = "Refused by policy " + l.policy + " alone, within the stated limits: " + count(n, "part") + ": " + strings.Join(named, ", ")
			if n > len(named) {
				text += " and " + count(n-len(named), "more part")
			}
			text += "."
		}
		if r.Built {
			text = strings.TrimSpace(text + " The stage as built is refused by the policy alone.")
		}
		return text
	}
	return ""
}

type jsonPolicy struct {
	Source     string   `json:"source"`
	FromMemory bool     `json:"from_memory"`
	LookUp     string   `json:"look_up"`
	FromBench  []string `json:"from_bench"`
}

func jsonPolicyOf(n *engine.PolicyNote) jsonPolicy {
	return jsonPolicy{n.Source, n.FromMemory, n.LookUp, texts(n.FromBench)}
}
