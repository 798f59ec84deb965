package sheet

import (
	"context"
	"os"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// Sheets of loads on 24 V AC and on the mains, read by eye.
func TestACSheets(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []struct{ file, job, key string }{
		{"irrigation", "irrigation", "zone valve/ssr-dip8-0a6-r/ssr"},
		{"kiln", "kiln", "element/ssr-panel-40a-zc/ssr"},
		{"extractor", "extractor", "fan/ssr-panel-25a-zc-480v/ssr"},
		{"contactor", "contactor", "contactor/ssr-panel-25a-zc-480v/ssr"},
		{"sign", "contactor", "sign/ssr-dip8-0a6-r/ssr"},
		{"lamp", "toroid", "lamp/ssr-panel-10a-zc/ssr"},
		{"toroid", "toroid", "toroid/ssr-panel-40a-zc/ssr"},
		{"path-lighting", "mains-garden", "path lighting/rl-5v-16a/relay"},
		{"shed-lamp", "shed-lamp", "shed lamp/rl-12v-16a-latch1/relay"},
		{"frost-heater-refused", "mains-heater", "frost heater/rl-12v-10a/relay"},
		{"heater-as-wired", "built-ssr", "heater/ssr-panel-10a-zc/ssr/built"},
	} {
		file := "../../testdata/jobs/" + s.job + ".toml"
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		spec, j, errs := job.Read(s.job+".toml", text)
		if errs.Fatal() {
			t.Fatal(errs)
		}
		pol, err := catalog.PolicyByName(j.PolicyName)
		if err != nil {
			t.Fatal(err)
		}
		in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
		det, err := engine.Detail(context.Background(), in, s.key)
		if err != nil {
			t.Fatal(s.key, err)
		}
		got := Sheet(in, det, SheetOptions{}).Text(Width, nil)
		golden(t, "testdata/ac/"+s.file+".txt", got)
		for l := range strings.Lines(got) {
			if n := len([]rune(strings.TrimRight(l, "\n"))); n > Width {
				t.Errorf("%s: %d wide: %s", s.file, n, l)
			}
		}
	}
}
