package tui

import (
	"context"
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/engine"
)

// Asker is whom the screen asks. None of its answers is changed by the screen.
type Asker interface {
	Assess(ctx context.Context, in *engine.Input) (*engine.Result, error)
	Detail(ctx context.Context, in *engine.Input, key string) (*engine.Detailed, error)
	Arrange(rows []engine.Row, view engine.View) engine.Arranged
	Own(ctx context.Context, in *engine.Input, load, part string) (*engine.Own, error)
}

// theEngine asks the engine itself.
type theEngine struct{}

func (theEngine) Assess(ctx context.Context, in *engine.Input) (*engine.Result, error) {
	return engine.Assess(ctx, in, engine.Options{})
}

func (theEngine) Detail(ctx context.Context, in *engine.Input, key string) (*engine.Detailed, error) {
	return engine.Detail(ctx, in, key)
}

func (theEngine) Arrange(rows []engine.Row, view engine.View) engine.Arranged {
	return engine.Arrange(rows, view)
}

func (theEngine) Own(ctx context.Context, in *engine.Input, load, part string) (*engine.Own, error) {
	return engine.AssessOwn(ctx, in, load, part)
}

// assess asks for a shortlist. It holds all it needs by value, so that what the
// screen does meanwhile cannot reach it.
func assess(ctx context.Context, ask Asker, in *engine.Input, seq int) tea.Cmd {
	return func() (msg tea.Msg) {
		defer func() {
			if p := recover(); p != nil {
				msg = assessedMsg{seq: seq, err: faultOf(p)}
			}
		}()
		res, err := ask.Assess(ctx, in)
		return assessedMsg{seq: seq, result: res, err: err}
	}
}

// detail asks for one design.
func detail(ctx context.Context, ask Asker, in *engine.Input, key string, seq int) tea.Cmd {
	return func() (msg tea.Msg) {
		defer func() {
			if p := recover(); p != nil {
				msg = detailedMsg{seq: seq, key: key, err: faultOf(p)}
			}
		}()
		det, err := ask.Detail(ctx, in, key)
		return detailedMsg{seq: seq, key: key, detailed: det, err: err}
	}
}

// later tells after a while that a question still waits for its answer.
func later(seq int) tea.Cmd {
	return tea.Tick(slowAfter, func(time.Time) tea.Msg { return slowMsg{seq: seq} })
}

// keepLater tells when it is time to keep the session.
func keepLater() tea.Cmd {
	return tea.Tick(keepAfter, func(time.Time) tea.Msg { return keepMsg{} })
}

func faultOf(p any) error { return fmt.Errorf("internal fault, please report it: %v", p) }
